"""The server of the built site: types, headers, sub-folders, and the damage that browser tests ask for."""

from __future__ import annotations

import http.client
import socket
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from helpers.site import SUB_FOLDER, serving
from places import BUILD_SCRIPTS

if TYPE_CHECKING:
    from web_server import Server

HEADERS = """# comment
/*
  X-Content-Type-Options: nosniff
/deep/*
  Content-Security-Policy: default-src 'self'; img-src 'self' data:
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    site = tmp_path / "site"
    (site / "deep").mkdir(parents=True)
    (site / "empty").mkdir()
    (site / "index.html").write_text("first")
    (site / "deep" / "index.html").write_text("deep")
    (site / "404.html").write_text("no such page")
    (site / "a b.txt").write_text("spaces")
    (site / "_headers").write_text(HEADERS)
    for name in ("x.wasm", "x.mjs", "x.js", "x.json", "x.zip", "x.svg", "x.css"):
        (site / name).write_text(name)
    (tmp_path / "secret").write_text("outside")
    return site


def ask(server: Server, path: str) -> tuple[int, http.client.HTTPMessage, str]:
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
    connection.request("GET", path)
    answer = connection.getresponse()
    text = answer.read().decode()
    connection.close()
    return answer.status, answer.headers, text


# Types as registered: WebAssembly core specification 2.0 (web API); RFC 9239 for JavaScript; RFC 8259 for JSON.
@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("x.wasm", "application/wasm"),
        ("x.mjs", "text/javascript; charset=utf-8"),
        ("x.js", "text/javascript; charset=utf-8"),
        ("x.json", "application/json"),
        ("x.zip", "application/zip"),
        ("x.svg", "image/svg+xml"),
        ("x.css", "text/css; charset=utf-8"),
        ("", "text/html; charset=utf-8"),
    ],
)
def test_types(folder: Path, name: str, kind: str) -> None:
    with serving(folder) as server:
        status, headers, _ = ask(server, f"/{name}")
    assert (status, headers["Content-Type"]) == (200, kind)


def test_the_headers_file_is_obeyed_and_not_served(folder: Path) -> None:
    with serving(folder) as server:
        first, deep = ask(server, "/")[1], ask(server, "/deep/")[1]
        assert ask(server, "/_headers")[0] == 404
    assert first["X-Content-Type-Options"] == "nosniff"
    assert first["Content-Security-Policy"] is None
    assert deep["Content-Security-Policy"] == "default-src 'self'; img-src 'self' data:"
    assert deep["Cache-Control"] == "no-cache"
    with serving(folder, send_headers=False) as server:
        assert ask(server, "/deep/")[1]["Content-Security-Policy"] is None


def test_from_a_sub_folder_nothing_lies_outside_it(folder: Path) -> None:
    with serving(folder, prefix=SUB_FOLDER) as server:
        assert server.address.endswith(f":{server.server_port}{SUB_FOLDER}")
        assert ask(server, SUB_FOLDER)[2] == "first"
        status, headers, text = ask(server, f"{SUB_FOLDER}deep/")
        assert (status, text) == (200, "deep")
        assert headers["Content-Security-Policy"]
        moved = ask(server, f"{SUB_FOLDER}deep")
        assert (moved[0], moved[1]["Location"]) == (301, f"{SUB_FOLDER}deep/")
        assert [ask(server, path)[0] for path in ("/", "/x.js", "/deep/")] == [404, 404, 404]


def test_what_is_not_there(folder: Path) -> None:
    with serving(folder) as server:
        assert ask(server, "/nothing")[::2] == (404, "no such page")
        assert ask(server, "/empty/")[::2] == (404, "no such page")
        for path in ("/../secret", "/%2e%2e/secret", "/%252e%252e/secret", "/deep/../../secret"):
            assert ask(server, path)[0] == 404
        assert ask(server, "/a%20b.txt")[2] == "spaces"


def test_damage_on_purpose(folder: Path) -> None:
    with serving(folder) as server:
        server.site.missing.add("x.wasm")
        server.site.replaced["x.js"] = b"broken"
        assert ask(server, "/x.wasm")[0] == 404
        status, headers, text = ask(server, "/x.js?version=1")
        assert (status, headers["Content-Type"], text) == (200, "text/javascript; charset=utf-8", "broken")
        assert server.site.requests == ["/x.wasm", "/x.js?version=1"]


def test_a_port_in_use_is_said_before_any_work() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        command = [sys.executable, str(BUILD_SCRIPTS / "serve.py"), "--port", str(port)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert done.returncode != 0
    assert done.stderr.startswith(f"Port {port} cannot be used")
    assert done.stdout == ""


@pytest.mark.parametrize("port", ["eight", "-1", "65536"])
def test_a_port_that_cannot_be_is_refused(port: str) -> None:
    command = [sys.executable, str(BUILD_SCRIPTS / "serve.py"), f"--port={port}"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert "--port" in done.stderr
