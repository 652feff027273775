"""The runtime also builds and answers with the next Pyodide, so that a move to it is a change of one constant.

Needs the network the first time only: what is fetched is kept with the rest of what the commands make.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

import runtime
from helpers.node_pyodide import ask_all, run_python
from helpers.records import some
from helpers.worksheet import request
from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from pathlib import Path

OTHER = "314.0.7"
RECORDS = 20


@pytest.fixture(scope="module")
def other() -> Path:
    return runtime.build(OTHER)


def test_it_is_another_pyodide_with_another_python(other: Path) -> None:
    manifest = json.loads((other / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["version"] == OTHER != runtime.PYODIDE
    usual = json.loads((runtime.build(runtime.PYODIDE) / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["python"] != usual["python"]
    assert run_python(other, "import sys\n'%d.%d' % sys.version_info[:2]") == "3.14"


def test_it_answers_as_this_python_does(other: Path) -> None:
    questions = [request(record) for record in some(RECORDS, start=9000)]
    questions += [
        json.dumps({"ask": "open", "fragment": "q1.broken"}),
        json.dumps({"ask": "read", "text": "[" * 5_000}),
        json.dumps({"ask": "link", "record": next(some(1, start=9001))}),
    ]
    answers = ask_all(other, questions)
    assert len(answers) == RECORDS + 3
    for question, answer in zip(questions, answers, strict=True):
        assert answer == ask(question), question
