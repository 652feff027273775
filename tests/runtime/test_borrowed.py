"""What the browser borrows from a package: the named modules in the named version, no others, with their licence.

The package's own record of its files' sums is PyPA's (the RECORD file of a wheel; C).
"""

from __future__ import annotations

import base64
import importlib.metadata
import json
import re
import zlib
from dataclasses import replace
from pathlib import Path

import pytest

import borrowed
import runtime
from helpers import stand_in
from helpers.asking import COMPLETE, LOOKED_OVER
from helpers.node_pyodide import ask_all, run_python
from helpers.packed import unpacked
from helpers.records import some
from places import BUILD_SCRIPTS
from quarterturn.worker_interface import ask

SEGNO = borrowed.SEGNO


def test_the_version_is_the_one_that_is_pinned_and_the_sums_are_the_wheels_own() -> None:
    pinned = (BUILD_SCRIPTS / "requirements" / "site.txt").read_text(encoding="utf-8")
    assert re.search(rf"^{SEGNO.package}=={re.escape(SEGNO.version)} ", pinned, re.MULTILINE)
    files = importlib.metadata.distribution(SEGNO.package).files
    assert files is not None
    noted = {str(path): path.hash for path in files}
    for name, expected in SEGNO.files.items():
        found = noted[f"{SEGNO.package}/{name}"]
        assert found is not None
        assert found.mode == "sha256"
        assert base64.urlsafe_b64decode(found.value + "==").hex() == expected


@pytest.mark.parametrize(
    ("another", "said"),
    [
        (replace(SEGNO, package="no-such-package"), "not installed"),
        (replace(SEGNO, version="1.0.0"), "1.0.0 is expected"),
        (replace(SEGNO, files=SEGNO.files | {"consts.py": "0" * 64}), "segno/consts.py is not the file expected"),
        (replace(SEGNO, licence="NO-LICENCE"), "licence of segno is missing"),
    ],
)
def test_another_package_is_refused(another: borrowed.Borrowed, said: str) -> None:
    with pytest.raises(borrowed.BorrowedError, match=said):
        borrowed.sources(another)


def test_the_build_stops_at_another_package(tmp_path: Path, fetched: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(borrowed.sources, "__defaults__", (replace(SEGNO, version="1.0.0"),))
    package = stand_in.write(tmp_path / "calc")
    with pytest.raises(runtime.RuntimeBuildError, match=r"1\.0\.0 is expected"):
        runtime.build(package=package, made=stand_in.made_beside(tmp_path / "made", fetched))


def test_only_what_is_needed_goes_along_and_only_where_it_is_needed(real_runtime: Path, small_runtime: Path) -> None:
    with unpacked(real_runtime / "quarterturn.packed") as archive:
        lent = [name for name in archive.namelist() if not name.startswith("quarterturn/")]
        size = sum(len(zlib.compress(archive.read(name), 9)) for name in lent)
        licence = archive.read("segno/__init__.pyc")
    assert lent == ["segno/__init__.pyc", "segno/consts.pyc", "segno/encoder.pyc"]
    # Of 4.67 MB that a first visit fetched before it.
    assert size < 40_000
    # The notice that the licence wants kept (BSD, second clause).
    assert b"Redistributions in binary form must reproduce the above copyright" in licence
    with unpacked(small_runtime / "quarterturn.packed") as archive:
        assert all(name.startswith("quarterturn/") for name in archive.namelist())


def test_it_is_fetched_from_nowhere_and_loaded_only_for_a_card(real_runtime: Path) -> None:
    question = json.dumps({"ask": "answer", "widget": "safe-range", "record": COMPLETE})
    code = f"""
import sys
from quarterturn.worker_interface import ask
ask({question!r})
before = "segno.encoder" in sys.modules
ask({json.dumps({"ask": "answer", "widget": "card", "record": COMPLETE, "address": "https://example.org/"})!r})
f"{{before}} {{'segno.encoder' in sys.modules}} {{'segno.writers' in sys.modules}}"
"""
    assert run_python(real_runtime, code) == "False True False"


def test_pyodide_draws_the_same_card_as_cpython(real_runtime: Path) -> None:
    records = [{"version": 1}, COMPLETE | LOOKED_OVER, *some(30, start=4000)]
    questions = [
        json.dumps({"ask": "answer", "widget": "card", "record": record, "address": "https://example.org/bows/"})
        for record in records
    ]
    answers = ask_all(real_runtime, questions)
    assert answers == [ask(question) for question in questions]
    assert sum("qt-card-code" in answer for answer in answers) >= 20
