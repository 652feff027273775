"""The calculators by name: the names that are written down are the widgets' own, and no room brings another along.

What is imported when is told by a fresh interpreter (C). How much a first answer may wait for is ours.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from quarterturn import widgets
from quarterturn.widgets import ROOMS, WIDGETS
from quarterturn.widgets.frame import Widget

HOME = Path(widgets.__file__).parent
MODULES, DATACLASSES = 120, 200
"""How many of the package a page's first answer may wait for."""
FIRST_ANSWERS = """
import json, sys
def own():
    return sorted(name for name in sys.modules if name.split(".")[0] == "quarterturn")
def dataclasses():
    return sum(
        hasattr(thing, "__dataclass_fields__") and thing.__module__ == name
        for name in own() for thing in vars(sys.modules[name]).values() if isinstance(thing, type)
    )
told = {}
for widget in ["", *sys.argv[1:]]:
    for name in own():
        del sys.modules[name]
    from quarterturn.worker_interface import ask
    if widget:
        request = {"ask": "answer", "widget": widget, "record": {"version": 1}, "part": "first"}
        assert json.loads(ask(json.dumps(request)))["html"]
    told[widget] = [own(), dataclasses()]
print(json.dumps(told))
"""


@pytest.fixture(scope="module")
def imported() -> dict[str, tuple[set[str], int]]:
    """The modules and the number of dataclasses that are there after each widget's first answer; "" before any."""
    command = [sys.executable, "-c", FIRST_ANSWERS, *WIDGETS]
    done = subprocess.run(command, cwd=HOME.parents[1], capture_output=True, text=True, check=True)
    return {name: (set(modules), dataclasses) for name, (modules, dataclasses) in json.loads(done.stdout).items()}


def rooms_of(modules: set[str]) -> set[str]:
    """The rooms that any of these modules is in."""
    return {name.split(".")[2] for name in modules if name.startswith("quarterturn.widgets.")} & set(ROOMS.values())


def test_every_name_is_the_widgets_own() -> None:
    assert len(WIDGETS) == len(list(WIDGETS))
    for name, widget in WIDGETS.items():
        assert isinstance(widget, Widget)
        assert widget.name == name


def test_every_room_is_listed() -> None:
    sources = {path.parent.name if path.stem == "__init__" else path.stem: path for path in HOME.rglob("*.py")}
    having = {name for name, path in sources.items() if "\nWIDGET = " in path.read_text(encoding="utf-8")}
    assert having == set(ROOMS.values())
    assert len(set(ROOMS.values())) == len(ROOMS)


def test_a_name_that_is_none_is_none() -> None:
    assert "no such widget" not in WIDGETS
    assert WIDGETS.get("no such widget") is None
    with pytest.raises(KeyError):
        WIDGETS["no such widget"]


def test_the_workers_interface_alone_imports_no_room(imported: dict[str, tuple[set[str], int]]) -> None:
    modules, _ = imported[""]
    assert "quarterturn.worker_interface" in modules
    assert rooms_of(modules) == set()


def test_no_room_imports_another(imported: dict[str, tuple[set[str], int]]) -> None:
    for name, room in ROOMS.items():
        assert rooms_of(imported[name][0]) == {room}


@pytest.mark.parametrize("name", ROOMS)
def test_a_first_answer_waits_for_few_modules(imported: dict[str, tuple[set[str], int]], name: str) -> None:
    modules, dataclasses = imported[name]
    assert len(modules) <= MODULES
    assert dataclasses <= DATACLASSES
