"""The floors of the house, from every import of the package, in functions too (DEVELOPERS.md, *The floors*).

What the standard library holds is `sys.stdlib_module_names` (C).
"""

from __future__ import annotations

import ast
import re
import statistics
import sys
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

import quarterturn
from helpers.each_case import holds_of_each

HOME = Path(quarterturn.__file__).parent
MODULES = sorted(HOME.rglob("*.py"))
FLOORS = {
    "days": 0,
    "draws": 0,
    "numbers": 0,
    "units": 0,
    "markup": 0,
    "sources": 0,
    "record": 0,
    "mechanics": 1,
    "bench": 2,
    "figures": 2,
    "widgets": 3,
    "worker_interface": 4,
    "notebook": 5,
    "__main__": 4,
    "__init__": 0,
}
BARRED = {
    "mechanics": {"record", "markup"},
    "bench": {"figures", "markup"},
    "figures": {"bench", "record"},
    "record": {"markup", "sources"},
}
"""Rooms that a room may not know although they are no higher."""
HEAVY = {"typing", "inspect", "logging", "argparse", "pathlib", "unittest", "asyncio", "decimal", "fractions", "random"}
"""Parts of the standard library that the browser's cut copy would have to carry, or that make answers differ."""


def in_the_package(path: Path) -> str:
    """Where a module is."""
    return path.relative_to(HOME).as_posix()


each_module = holds_of_each(MODULES, in_the_package)


def room(path: Path) -> str:
    """The room a module is in: its folder, or itself on the ground."""
    parts = path.relative_to(HOME).with_suffix("").parts
    return parts[0]


@cache
def tree_of(path: Path) -> ast.Module:
    """A module's own text, parsed once."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imported(path: Path) -> set[str]:
    """The full names of what a module imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            assert node.module
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in ("__import__", "eval", "exec", "compile")
    return names


def own(names: set[str]) -> set[str]:
    """The rooms of the package among them."""
    return {name.split(".")[1] for name in names if name.startswith("quarterturn.")}


def test_every_room_has_its_floor() -> None:
    assert {room(path) for path in MODULES} == set(FLOORS)


@each_module
def test_imports_go_down(module: Path) -> None:
    here = room(module)
    for other in own(imported(module)) - {here}:
        assert FLOORS[other] <= FLOORS[here], f"{here} imports {other}"
        if FLOORS[other] == FLOORS[here]:
            assert FLOORS[here] == 0, f"{here} and {other} are on one floor"
        assert other not in BARRED.get(here, set()), f"{here} has no business with {other}"


@each_module
def test_only_the_standard_library_and_only_light_parts(module: Path) -> None:
    # What only a type checker reads costs the reader nothing.
    outside = {name.split(".")[0] for name in imported(module) - {"typing.TYPE_CHECKING"}} - {
        "quarterturn",
        "__future__",
    }
    assert outside - lent_to(module) <= sys.stdlib_module_names
    if module.name != "__main__.py":
        assert not outside & HEAVY


def lent_to(module: Path) -> set[str]:
    """The one library that the package borrows, known to one module, which does without it where it must."""
    return {"segno"} if module.relative_to(HOME).as_posix() == "figures/qr.py" else set()


def test_no_circle_of_imports_on_the_ground_floor() -> None:
    ground = {path: own(imported(path)) for path in MODULES if FLOORS[room(path)] == 0}
    for path, others in ground.items():
        if room(path) != "record":
            assert "record" not in others, f"{path.name} is under the record"


def test_widgets_do_not_know_one_another() -> None:
    folders = [path for path in (HOME / "widgets").iterdir() if path.is_dir() and (path / "__init__.py").exists()]
    assert folders
    for folder in folders:
        others = {f"quarterturn.widgets.{other.name}" for other in folders if other != folder}
        shared = {f"quarterturn.widgets.{path.stem}" for path in (HOME / "widgets").glob("*.py")}
        for path in folder.rglob("*.py"):
            for name in imported(path):
                assert not any(name == other or name.startswith(f"{other}.") for other in others)
                if name.startswith("quarterturn.widgets."):
                    mine = f"quarterturn.widgets.{folder.name}"
                    assert name.startswith(mine) or any(name.startswith(f"{each}.") or name == each for each in shared)


@each_module
def test_no_assert_no_print_no_clock(module: Path) -> None:
    tree = tree_of(module)
    assert not any(isinstance(node, ast.Assert) for node in ast.walk(tree))
    called = {node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
    assert not called & ({"open", "input"} if module.name == "__main__.py" else {"open", "input", "print"})
    # Only the command line knows a clock: it says which day it is, as the browser does.
    barred = {"time", "datetime", "random", "socket", "urllib", "os"}
    barred -= {"datetime", "os"} if module.name == "__main__.py" else set()
    assert not {name.split(".")[0] for name in imported(module)} & barred


@each_module
def test_every_public_thing_says_what_it_is(module: Path) -> None:
    tree = tree_of(module)
    assert ast.get_docstring(tree)
    classes = [node for node in tree.body if isinstance(node, ast.ClassDef) and not node.name.startswith("_")]
    holders: list[ast.Module | ast.ClassDef] = [tree, *classes]
    for node in (node for holder in holders for node in holder.body):
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), node.name


OF_FORMS = re.compile(
    r"\b(forms?|box|boxes|pages?|buttons?|sliders?|menus?|tabs?|screens?|click\w*|taps?|tapped|scroll\w*|checkbox\w*)\b",
    re.IGNORECASE,
)
"""What a reader works with on a page: whoever says one of these knows that there are pages."""


def sentences(path: Path) -> list[str]:
    """What a module says: its texts of two words or more, parts of f-strings too, but no docstring."""
    tree = tree_of(path)
    notes = {
        id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    texts = [node for node in ast.walk(tree) if isinstance(node, ast.Constant) and id(node) not in notes]
    return [node.value for node in texts if isinstance(node.value, str) and " " in node.value.strip()]


@holds_of_each([path for path in MODULES if room(path) in ("bench", "mechanics")], in_the_package)
def test_the_bench_has_no_words_of_forms(module: Path) -> None:
    """Which page an entry is on, and which box, is for the widgets to say: the bench names the field and the case."""
    assert [said for said in sentences(module) if OF_FORMS.search(said)] == []


def test_words_of_forms_are_seen(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text(
        '"""On a page."""\n\nNAME = "page"\nSAID = f"{NAME}: entered on another page."\n', encoding="utf-8"
    )
    assert [bool(OF_FORMS.search(said)) for said in sentences(module)] == [True]


LONGEST_MODULE, LONGEST_FUNCTION, MEDIAN_FUNCTION = 450, 40, 10
"""Lines; a module may have as many, a function as many but in the drawings below, the median function fewer."""
DRAWINGS = {
    "figures/bow_view.py:bow_view": "the whole bow, each part drawn over the one before it",
    "figures/chart.py:line_chart": "a chart, each layer drawn over the one before it",
    "figures/shares.py:shares": "bars against a line, each layer drawn over the one before it",
    "figures/side_view.py:side_view": "a pocket from the side, each part drawn over the one before it",
}
"""The functions that are longer, and why: what they draw stands in the order in which it is drawn."""
PARTICIPLE = re.compile(
    "(?:[a-z]ed|Bent|Built|Drawn|Felt|Foretold|Found|Given|Held|Hidden|Kept|Known|Laid|Left|Lost|Made|Meant|Read|Said|"
    "Seen|Sent|Set|Shot|Shown|Spent|Strung|Swept|Taken|Taught|Told|Worn|Wound|Written)$"
)
"""How a name ends that is no noun's: as a regular participle, or as one of these."""


def lengths(tree: ast.Module) -> dict[str, int]:
    """The lines of each function of a module, nested ones too, by its name; of one name's the most."""
    found: dict[str, int] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            found[node.name] = max(found.get(node.name, 0), (node.end_lineno or 0) - node.lineno + 1)
    return found


def classes(tree: ast.Module) -> list[str]:
    """The names of all classes of a module, private and nested ones too."""
    return [node.name for node in ast.walk(tree) if isinstance(node, ast.ClassDef)]


def trees() -> dict[str, ast.Module]:
    """Every module of the package, by its path."""
    return {path.relative_to(HOME).as_posix(): tree_of(path) for path in MODULES}


def test_a_class_name_means_one_thing() -> None:
    counted = Counter(name for tree in trees().values() for name in classes(tree))
    assert [name for name, count in counted.items() if count > 1] == []


def test_types_are_nouns() -> None:
    assert [name for tree in trees().values() for name in classes(tree) if PARTICIPLE.search(name)] == []


@pytest.mark.parametrize(
    ("name", "seen"),
    [
        *(("Fitted", True), ("_Bent", True), ("WhatIsShown", True)),
        *(("FittedBow", False), ("Thread", False), ("Pitch", False)),
    ],
)
def test_a_participle_is_seen(name: str, seen: bool) -> None:
    assert bool(PARTICIPLE.search(name)) is seen


@each_module
def test_no_module_is_too_long(module: Path) -> None:
    assert len(module.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE


def test_functions_are_short() -> None:
    found = {f"{path}:{name}": lines for path, tree in trees().items() for name, lines in lengths(tree).items()}
    assert {name for name, lines in found.items() if lines > LONGEST_FUNCTION} == set(DRAWINGS)
    assert statistics.median(found.values()) < MEDIAN_FUNCTION


def test_names_and_lengths_are_read_wherever_they_stand() -> None:
    tree = ast.parse("class One:\n    class _Two:\n        def three(self):\n            return 4\n")
    assert classes(tree) == ["One", "_Two"]
    assert lengths(tree) == {"three": 2}


OF_THE_FRAME = {"assumed", "sources", "next", "cautions", "findings", "also", "way-back"}
"""The sentences and ways that the frame puts around a widget's answer; what notes assumptions and sources is shared."""


def built(tree: ast.Module) -> set[str]:
    """The names of the lists of sentences and of the ways that a module builds."""
    calls = (node for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name))
    firsts = (call.args[0] for call in calls if call.func.id in ("Points", "Way") and call.args)  # type: ignore[attr-defined]
    return {first.value for first in firsts if isinstance(first, ast.Constant) and isinstance(first.value, str)}


def test_the_end_of_an_answer_is_the_frames() -> None:
    rooms = {
        path: built(tree) for path, tree in trees().items() if path.startswith("widgets/") and path.count("/") == 2
    }
    assert {"by-log", "not-meant", "waits"} <= set().union(*rooms.values())
    assert {path: names & OF_THE_FRAME for path, names in rooms.items() if names & OF_THE_FRAME} == {}
