"""The command line as a stranger runs it: a Python without packages, ours on PYTHONPATH (JSON: RFC 8259; C)."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import quarterturn
from helpers.asking import COMPLETE, answered

pytestmark = pytest.mark.long

CALC = Path(quarterturn.__file__).parents[1]


def run(*arguments: str, given: bytes = b"", **settings: str) -> subprocess.CompletedProcess[bytes]:
    """Run it without site packages: -S leaves them out, and the environment holds nothing else."""
    environment = {"PYTHONPATH": str(CALC), "PATH": os.defpath} | settings
    command = [sys.executable, "-S", "-s", "-B", "-W", "error", "-m", "quarterturn", *arguments]
    return subprocess.run(command, input=given, capture_output=True, env=environment, check=False, timeout=60)


def said(done: subprocess.CompletedProcess[bytes], code: int = 0) -> Any:
    """What it printed, read as JSON in UTF-8."""
    assert done.returncode == code, done.stderr.decode()
    assert (done.stderr == b"") is (code == 0)
    return json.loads(done.stdout.decode("utf-8"))


def test_list() -> None:
    listed = {widget["name"]: widget for widget in said(run("list"))}
    assert list(listed) == [
        *("start", "inspection", "pocket", "loads", "paper", "safe-range", "draw-weight", "tiller"),
        *("plan", "carry-out", "after", "card", "log", "practice", "lessons", "rack"),
    ]
    widget = listed["safe-range"]
    assert widget["title"] == "Find the safe range"
    assert "upper_touch_turns" in widget["fields"]


def test_schema() -> None:
    schema = said(run("schema"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(COMPLETE, schema)


def test_a_file_of_bows_and_its_schema(tmp_path: Path) -> None:
    data = {"format": "quarter-turn bows", "version": 1, "bows": [{"record": COMPLETE | {"bow_name": "A"}}]}
    schema = said(run("schema", "bows"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(data, schema)
    file = tmp_path / "bows.json"
    file.write_text(json.dumps(data), encoding="utf-8")
    assert said(run("answer", "safe-range", str(file)))["state"] == "go"
    data["bows"] = [{"record": {"bow_name": "B"}}, {"record": COMPLETE | {"bow_name": "A"}}]
    file.write_text(json.dumps(data), encoding="utf-8")
    assert said(run("answer", "safe-range", str(file), "--bow", "A"))["state"] == "go"
    assert "2 bows in the file. Name the one" in refused("answer", "safe-range", str(file))


def test_answer_without_a_file_is_the_worked_example() -> None:
    found = said(run("answer", "safe-range"))
    assert (found["widget"], found["state"]) == ("safe-range", "example")
    assert all(value["unit"] or isinstance(value["value"], str) for value in found["values"])


def test_answer_to_a_file_and_to_standard_input(tmp_path: Path) -> None:
    file = tmp_path / "bow of the club.json"
    file.write_text(json.dumps(COMPLETE), encoding="utf-8")
    from_file = said(run("answer", "safe-range", str(file)))
    from_input = said(run("answer", "safe-range", "-", given=json.dumps(COMPLETE).encode()))
    assert from_file == from_input
    assert from_file == json.loads(json.dumps(answered(COMPLETE).as_data() | {"notes": []}))
    assert from_file["state"] == "go"


@pytest.mark.parametrize(
    ("record", "fields"),
    [
        (COMPLETE | {"margin": 9}, ["margin"]),
        (COMPLETE | {"margin": "x", "rise": 1e308}, ["margin", "rise"]),
        (COMPLETE | {"lower_touch_turns": 0}, ["lower_touch_turns"]),
    ],
)
def test_a_refused_record_is_told_in_both_places(record: dict[str, Any], fields: list[str]) -> None:
    done = run("answer", "safe-range", "-", given=json.dumps(record).encode())
    errors = said(done, 2)["errors"]
    assert [error["field"] for error in errors] == fields
    assert done.stderr.decode().splitlines() == [error["sentence"] for error in errors]


def test_what_was_ignored_is_noted() -> None:
    found = said(run("answer", "safe-range", "-", given=json.dumps(COMPLETE | {"nonsense": 1}).encode()))
    assert "nonsense" in found["notes"][0]


def refused(*arguments: str, given: bytes = b"", **settings: str) -> str:
    """The one sentence with which it refuses."""
    done = run(*arguments, given=given, **settings)
    (error,) = said(done, 2)["errors"]
    assert error["field"] == ""
    sentence = str(error["sentence"])
    assert done.stderr.decode() == f"{sentence}\n"
    assert sentence.endswith(".")
    assert "Errno" not in sentence
    assert "codec" not in sentence
    return sentence


def test_a_missing_file(tmp_path: Path) -> None:
    assert "none.json" in refused("answer", "safe-range", str(tmp_path / "none.json"))


def test_a_folder(tmp_path: Path) -> None:
    assert "cannot be read" in refused("answer", "safe-range", str(tmp_path))


def test_not_utf_8(tmp_path: Path) -> None:
    file = tmp_path / "latin.json"
    file.write_bytes('{"bow_name": "Köln"}'.encode("latin-1"))
    assert "UTF-8" in refused("answer", "safe-range", str(file))
    assert "UTF-8" in refused("answer", "safe-range", "-", given=file.read_bytes())


@pytest.mark.parametrize(
    "given", [b"", b"{", b"[]", b"null", b"[" * 50_000, b'{"bow_name":"' + b"x" * 10_000_000], ids=len
)
def test_no_record(given: bytes) -> None:
    assert refused("answer", "safe-range", "-", given=given).startswith("The record is refused")


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    file = tmp_path / "marked.json"
    file.write_bytes(b"\xef\xbb\xbf" + json.dumps(COMPLETE).encode())
    assert said(run("answer", "safe-range", str(file)))["state"] == "go"
    assert said(run("answer", "safe-range", "-", given=file.read_bytes()))["state"] == "go"


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_output_is_utf_8_whatever_the_terminal_speaks(encoding: str) -> None:
    record = COMPLETE | {"bow_name": "Bogen Nr. 3 – 弓", "upper_now_side": "in"}
    found = said(run("answer", "safe-range", "-", given=json.dumps(record).encode(), PYTHONIOENCODING=encoding))
    assert "弓" in json.dumps(found, ensure_ascii=False)
    raw = json.dumps(record, ensure_ascii=False).encode()
    assert said(run("answer", "safe-range", "-", given=raw, PYTHONIOENCODING=encoding)) == found


def test_lone_surrogates_do_not_stop_it() -> None:
    done = run("answer", "safe-range", "-", given=b'{"rise": "4\\ud800", "\\udfff": 1, "bow_name": "\\ud83c"}')
    assert said(done, 2)["errors"][0]["field"] == "rise"


@pytest.mark.parametrize("arguments", [(), ("nothing",), ("answer",), ("answer", "other"), ("list", "more")])
def test_a_command_that_is_none_is_refused(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert b"usage: python -m quarterturn" in done.stderr
    assert b"Traceback" not in done.stderr


def test_a_reader_who_stops_reading_gets_no_traceback() -> None:
    command = f'"{sys.executable}" -S -B -m quarterturn answer safe-range | head -c 10'
    done = subprocess.run(
        ["/bin/sh", "-c", command], capture_output=True, env={"PYTHONPATH": str(CALC), "PATH": os.defpath}, check=False
    )
    assert b"Traceback" not in done.stderr
