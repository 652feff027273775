"""What of the package a page's first answer waits for: told by a fresh interpreter (C)."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import dataclass
from functools import cache

from places import CALC
from quarterturn.widgets import ROOMS

CODE = """
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


@dataclass(frozen=True, slots=True)
class Imported:
    """The modules of the package that were imported, and how many dataclasses they have."""

    modules: frozenset[str]
    dataclasses: int

    @property
    def rooms(self) -> set[str]:
        """The rooms that any of the modules is in."""
        return {name.split(".")[2] for name in self.modules if name.startswith("quarterturn.widgets.")} & {
            *ROOMS.values()
        }


@cache
def first_answers() -> dict[str, Imported]:
    """What is there after the first part of each widget's answer to no record; under "", before any question."""
    command = [sys.executable, "-c", CODE, *ROOMS]
    done = subprocess.run(command, cwd=CALC, capture_output=True, text=True, check=True)
    return {name: Imported(frozenset(modules), count) for name, (modules, count) in json.loads(done.stdout).items()}
