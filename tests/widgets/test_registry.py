"""The calculators by name: the names that are written down are the widgets' own, and no room brings another along."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers.first_answers import first_answers
from quarterturn import widgets
from quarterturn.widgets import ROOMS, WIDGETS
from quarterturn.widgets.frame import Widget

HOME = Path(widgets.__file__).parent
MODULES, DATACLASSES = 107, 144
"""How many of the package a page's first answer may wait for."""
ALONE = {"": 62, "start": 62, "inspection": 62, "card": 72, "log": 72, "safe-range": 78, "paper": 80, "pocket": 82}
ALONE |= {"practice": 78}
"""How many modules where no bow is computed, which takes all of the mechanics of the bow."""


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


def test_the_workers_interface_alone_imports_no_room() -> None:
    imported = first_answers()[""]
    assert "quarterturn.worker_interface" in imported.modules
    assert imported.rooms == set()


def test_no_room_imports_another() -> None:
    for name, room in ROOMS.items():
        assert first_answers()[name].rooms == {room}


@pytest.mark.parametrize("name", ROOMS)
def test_a_first_answer_waits_for_few_modules(name: str) -> None:
    imported = first_answers()[name]
    assert len(imported.modules) <= ALONE.get(name, MODULES)
    assert imported.dataclasses <= DATACLASSES
