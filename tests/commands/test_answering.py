"""The worker that has this Python answer: who gets it, what is answered, and that nothing of it outlasts a start."""

from __future__ import annotations

import http.client
import json
from typing import TYPE_CHECKING

import pytest

from helpers.answering import COOKIE, WORKER
from helpers.site import serving
from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from web_server import Server

REAL = "runtime/abc/worker.js"
QUESTION = json.dumps({"ask": "answer", "widget": "paper", "record": {"version": 1, "bow_name": "Ü 3"}})


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    (tmp_path / REAL).parent.mkdir(parents=True)
    (tmp_path / REAL).write_text("the real one")
    with serving(tmp_path, "/deep/", answering=True) as running:
        yield running


def asked(server: Server, method: str, path: str, body: bytes = b"", cookie: str = "") -> tuple[int, str]:
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port)
    connection.request(method, f"/deep/{path}", body, {"Cookie": cookie} if cookie else {})
    reply = connection.getresponse()
    return reply.status, reply.read().decode()


def test_only_who_has_the_cookie_gets_it_and_damage_goes_first(server: Server) -> None:
    assert asked(server, "GET", REAL) == (200, "the real one")
    assert asked(server, "GET", REAL, cookie=COOKIE) == (200, WORKER)
    server.site.replaced[REAL] = b"another"
    assert asked(server, "GET", REAL, cookie=COOKIE) == (200, "another")
    server.site.replaced.clear()
    server.site.missing.add(REAL)
    assert asked(server, "GET", REAL, cookie=COOKIE)[0] == 404


def test_a_question_is_answered_as_by_the_package(server: Server) -> None:
    assert asked(server, "POST", "runtime/abc/ask", QUESTION.encode()) == (200, ask(QUESTION))
    assert asked(server, "POST", "elsewhere", QUESTION.encode())[0] == 405


def test_a_worker_that_starts_knows_nothing_of_what_was_asked_before(server: Server) -> None:
    from quarterturn import numbers

    caches = [one for one in vars(numbers).values() if hasattr(one, "cache_info")]
    asked(server, "POST", "runtime/abc/ask", QUESTION.encode())
    assert any(one.cache_info().currsize for one in caches)
    asked(server, "GET", REAL, cookie=COOKIE)
    assert [one.cache_info().currsize for one in caches] == [0] * len(caches)
    assert caches


def test_other_servers_have_none(tmp_path: Path) -> None:
    (tmp_path / REAL).parent.mkdir(parents=True)
    (tmp_path / REAL).write_text("the real one")
    with serving(tmp_path, "/deep/") as plain:
        assert asked(plain, "GET", REAL, cookie=COOKIE) == (200, "the real one")
        assert asked(plain, "POST", "runtime/abc/ask", QUESTION.encode())[0] == 501
