"""The wheel that the site carries, installed in an environment of its own; the calls of its page run as they stand."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import compiled_wheel
import quarterturn
import wheel
from helpers.asking import COMPLETE, answered
from helpers.matrix import SEEN
from places import ROOT
from quarterturn import notebook
from quarterturn.widgets import WIDGETS

NAME = f"quarterturn-{quarterturn.__version__}-py3-none-any.whl"
PAGE = (ROOT / "docs" / "notebook.md").read_text(encoding="utf-8")
(CALLS,) = re.findall(r"```python\n(.*?)```", PAGE, re.DOTALL)


@pytest.fixture(scope="module")
def installed(built_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of programs of a fresh environment that has the site's wheel, and no network."""
    home = tmp_path_factory.mktemp("fresh")
    subprocess.run([sys.executable, "-m", "venv", home], check=True)
    made = str(built_site / "wheel" / NAME)
    words = [str(home / "bin" / "python"), "-m", "pip", "install", "--quiet", "--no-index", made]
    subprocess.run(words, check=True)
    return home / "bin"


def test_the_page_names_the_files_that_are_there(built_site: Path) -> None:
    """The plain wheel; the compiled one too where there is what compiles it (test_compiled_wheel.py)."""
    there = {path.name for path in (built_site / "wheel").iterdir()}
    assert there == {NAME, compiled_wheel.name_beside(NAME)}
    assert set(re.findall(r"quarterturn-[\w.-]+\.whl", PAGE)) == {NAME}
    page = (built_site / "notebook" / "index.html").read_text(encoding="utf-8")
    assert set(re.findall(r"quarterturn-[\w.-]+\.whl", page)) == there


def test_it_is_the_package_and_nothing_else(built_site: Path, tmp_path: Path) -> None:
    """The same bytes at every build; every module of the package, and no cache."""
    with zipfile.ZipFile(built_site / "wheel" / NAME) as made:
        names = set(made.namelist())
    modules = {path.relative_to(ROOT / "calc").as_posix() for path in (ROOT / "calc" / "quarterturn").rglob("*.py")}
    assert {name for name in names if not name.startswith("quarterturn-")} == modules
    assert wheel.build(tmp_path).read_bytes() == (built_site / "wheel" / NAME).read_bytes()


def test_the_command_answers(installed: Path) -> None:
    done = subprocess.run([installed / "quarterturn", "list"], capture_output=True, text=True, check=True)
    assert [one["name"] for one in json.loads(done.stdout)] == list(WIDGETS)


def test_the_calls_of_the_page_run_as_they_stand(installed: Path, tmp_path: Path) -> None:
    """What they give is what this Python's own package gives."""
    lines = [line for line in CALLS.splitlines() if line.startswith("notebook.")]
    assert len(lines) == 5
    program = "from quarterturn import notebook\nimport json\n" + "".join(f"print(repr({line}))\n" for line in lines)
    done = subprocess.run(
        [installed / "python", "-I", "-c", program], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    told = done.stdout.splitlines()
    assert told == [repr(eval(line, {"notebook": notebook})) for line in lines]
    subprocess.run([installed / "python", "-I", "-c", CALLS], cwd=tmp_path, check=True)


def test_a_number_is_the_pages() -> None:
    values = {one.name: one.value for one in answered({"head_diameter": 22}, "pocket").all_values()}
    assert notebook.number("pocket", "flush_outside", {"head_diameter": 22}) == values["flush_outside"]
    assert notebook.calculators()["pocket"] == "How the pocket works"
    assert notebook.fields("pocket")["head_diameter"] == "Diameter of the head (mm)"
    assert notebook.picture("pocket", "side")._repr_svg_().startswith("<svg")


def test_what_cannot_be_answered_is_said() -> None:
    with pytest.raises(ValueError, match="no field of that name"):
        notebook.answer("pocket", {"head_diametre": 22})
    with pytest.raises(ValueError, match="Diameter of the head"):
        notebook.answer("pocket", {"head_diameter": 400})
    with pytest.raises(KeyError):
        notebook.answer("no such calculator")
    with pytest.raises(KeyError):
        notebook.number("pocket", "no such number")
    with pytest.raises(KeyError):
        notebook.picture("pocket", "no such picture")


def test_an_inspection_grows_old_in_a_notebook_too() -> None:
    """As on the site and on the command line: nothing sounds better for want of a day."""
    bow = COMPLETE | SEEN | {"inspected_on": "2000-01-01"}
    assert notebook.answer("inspection", bow)["state"] == "open"
