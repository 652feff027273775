"""The runtime also builds and answers with the next Pyodide, so that a move to it is a change of one constant.

Needs the network the first time only: what is fetched is kept with the rest of what the commands make. What has passed
on this machine is not looked at again until a file of the runtime changes, or what the package imports; with
CHECK_EVERYTHING in the environment, as in CI, it always is.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

import borrowed
import runtime
from helpers import node_pyodide, runtime_requests
from helpers.node_pyodide import version_and_answers
from helpers.records import some
from helpers.runtime_requests import check_requests_of_every_kind, imports_of, requests_of_every_kind
from helpers.worksheet import request
from places import BUILD_SCRIPTS, MADE, fingerprint, write_whole
from quarterturn.worker_interface import ask

OTHER = "314.0.7"
RECORDS = 20
ALWAYS = "CHECK_EVERYTHING"
PASSED = MADE / "other-runtime.passed"
OWN = [Path(str(module.__file__)) for module in (node_pyodide, runtime_requests, borrowed, runtime)]


def inputs(package: Path = runtime.PACKAGE) -> str:
    """What the outcome depends on, but for the package's own computing, which the usual runtime is tested with."""
    files = [*OWN, Path(__file__), node_pyodide.SCRIPT, runtime.WORKER, *BUILD_SCRIPTS.glob("compile_*")]
    return fingerprint(sorted(files), *imports_of(package))


def has_passed() -> bool:
    return not os.environ.get(ALWAYS) and PASSED.is_file() and PASSED.read_text(encoding="utf-8") == inputs()


def test_it_is_another_python_and_answers_as_this_one_does() -> None:
    if has_passed():
        pytest.skip("it has passed with these files and imports")
    PASSED.unlink(missing_ok=True)
    other = runtime.build(OTHER)
    manifest = json.loads((other / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["version"] == OTHER != runtime.PYODIDE
    usual = json.loads((runtime.build(runtime.PYODIDE) / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["python"] != usual["python"]
    every_kind = requests_of_every_kind()
    questions = [request(record) for record in some(RECORDS, start=9000)]
    questions += [
        json.dumps({"ask": "open", "fragment": "q1.broken"}),
        json.dumps({"ask": "read", "text": "[" * 5_000}),
        json.dumps({"ask": "link", "record": next(some(1, start=9001))}),
    ]
    version, answers = version_and_answers(other, [*every_kind, *questions])
    assert version == "3.14 emscripten"
    assert len(answers) == len(every_kind) + RECORDS + 3
    check_requests_of_every_kind(answers[: len(every_kind)])
    for question, answer in zip(questions, answers[len(every_kind) :], strict=True):
        assert answer == ask(question), question
    write_whole(PASSED, inputs())


def test_another_import_is_another_input(tmp_path: Path) -> None:
    module = tmp_path / "package" / "module.py"
    module.parent.mkdir()
    seen = set()
    for text in ("import math\n", "import math\nimport json\n", "from math import pi\n"):
        module.write_text(text, encoding="utf-8")
        seen.add(inputs(module.parent))
    assert len(seen) == 3
    before = inputs(module.parent)
    module.write_text("from math import pi\nTWICE = 2 * pi\n", encoding="utf-8")
    assert inputs(module.parent) == before


def test_what_has_passed_counts_only_with_the_same_inputs_and_never_in_ci(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(ALWAYS, raising=False)
    monkeypatch.setitem(globals(), "PASSED", tmp_path / "passed")
    assert not has_passed()
    (tmp_path / "passed").write_text("of another time", encoding="utf-8")
    assert not has_passed()
    (tmp_path / "passed").write_text(inputs(), encoding="utf-8")
    assert has_passed()
    monkeypatch.setenv(ALWAYS, "1")
    assert not has_passed()
