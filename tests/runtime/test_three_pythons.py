"""260 drawn records, answered by every Python there is: the same text from each, to the last byte.

CPython 3.11 to 3.13, as far as this machine has them, and the built runtime's Pyodide, cut library and all, under Node.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import warnings
from functools import cache
from pathlib import Path

import runtime
from helpers.node_pyodide import version_and_answers
from helpers.records import some
from helpers.worksheet import request
from places import CALC
from quarterturn.widgets import WIDGETS
from quarterturn.worker_interface import ask

RECORDS = 260
VERSIONS = ("3.11", "3.12", "3.13")
ANSWER_LINES = """
import sys
sys.path.insert(0, sys.argv[1])
from quarterturn.worker_interface import ask
from quarterturn.widgets import WIDGETS
for line in sys.stdin:
    print(ask(line))
"""


@cache
def questions() -> tuple[str, ...]:
    """Half of them for the worksheet, the rest for the other pages in turn."""
    others = [name for name in WIDGETS if name != "safe-range"]
    asked = [name for other in others for name in ("safe-range", other)]
    records = some(RECORDS, start=5000)
    return tuple(request(record, asked[place % len(asked)]) for place, record in enumerate(records))


@cache
def answers_here() -> tuple[str, ...]:
    return tuple(ask(question) for question in questions())


def own_version() -> str:
    return "{}.{}".format(*sys.version_info)


def version_of(program: Path) -> str:
    question = "import sys; print(sys.implementation.name, '%d.%d' % sys.version_info[:2])"
    words = [str(program), "-I", "-c", question]
    try:
        said = subprocess.run(words, capture_output=True, text=True, check=True, timeout=60).stdout.split()
    except (OSError, subprocess.SubprocessError):
        return ""
    return said[1] if said[:1] == ["cpython"] else ""


def other_pythons() -> dict[str, Path]:
    """One program for each other version of CPython that this machine has."""
    folders = [Path(folder) for folder in os.environ.get("PATH", "").split(os.pathsep) if folder]
    folders += sorted(Path.home().glob(".pyenv/versions/*/bin"))
    found: dict[str, Path] = {}
    for folder in folders:
        for program in sorted(folder.glob("python3*")):
            if re.fullmatch(r"python3(\.1[123])?", program.name) and (version := version_of(program)) in VERSIONS:
                found.setdefault(version, program)
    found.pop(own_version(), None)
    return found


def first_difference(theirs: list[str]) -> str:
    """The question that is answered in another way, and both answers from where they part; "" if there is none."""
    assert len(theirs) == len(questions())
    for question, here, there in zip(questions(), answers_here(), theirs, strict=True):
        if here != there:
            at = next((at for at, pair in enumerate(zip(here, there, strict=False)) if len(set(pair)) > 1), 0)
            return f"{question}\nhere:  …{here[max(0, at - 60) : at + 60]}\nthere: …{there[max(0, at - 60) : at + 60]}"
    return ""


def test_every_other_cpython_of_this_machine_answers_the_same() -> None:
    found = other_pythons()
    missing = [version for version in VERSIONS if version not in found and version != own_version()]
    if missing:
        warnings.warn(f"not compared, because this machine has none: CPython {' and '.join(missing)}", stacklevel=1)
    for version, program in found.items():
        words = [str(program), "-I", "-c", ANSWER_LINES, str(CALC)]
        environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
        done = subprocess.run(
            words, input="\n".join(questions()), capture_output=True, text=True, encoding="utf-8", env=environment
        )
        assert done.returncode == 0, done.stderr[-2000:]
        assert first_difference(done.stdout.splitlines()) == "", version


def hostile() -> list[str]:
    """Nesting that would run out of a browser's stack; and Python can catch nothing then."""
    deep = [opened * 45_000 for opened in ("[", '{"a":')]
    deep += ["[" * 20_000 + "]" * 20_000, '"' + "[" * 20_000, '{"a":' * 5_000 + "1" + "}" * 5_000]
    asked = [json.dumps({"ask": "read", "text": text}) for text in deep]
    return [*asked, '{"ask": "answer", "widget": "safe-range", "record": {"margin": {"typed": ' + deep[2] + "}}}"]


def test_the_built_runtime_answers_the_same_and_what_would_end_it_is_refused_with_a_sentence() -> None:
    """Both in one start: what would have ended it comes first."""
    asked = hostile()
    version, answers = version_and_answers(runtime.build(), [*asked, *questions()])
    assert version == "3.13 emscripten"
    refused = answers[: len(asked)]
    assert refused == [ask(question) for question in asked]
    said = ["is refused: it is longer" in text or "is refused: it is n" in text for text in refused]
    assert said == [True] * len(asked), refused
    assert first_difference(answers[len(asked) :]) == ""


def test_a_difference_would_be_seen() -> None:
    theirs = list(answers_here())
    theirs[7] = theirs[7].replace("0", "1", 1)
    assert questions()[7] in first_difference(theirs)
