"""What every small drawing must be, checked on the markup: words, ids, classes, and all ink inside the view box."""

from __future__ import annotations

import re
from pathlib import Path

from figures.reading import SPACE, Drawing, boxes, collisions, faults
from quarterturn.figures.svg import Picture

STYLES = Path(__file__).parents[2] / "docs" / "assets" / "qt-figures.css"
KNOWN = set(re.findall(r"\.(qt-[a-z-]+)", STYLES.read_text(encoding="utf-8"))) | {"qt-text"}
"""The classes that the stylesheet draws; qt-text is drawn as any text."""
SMALLEST = 12.0
DRAWN = {f"{SPACE}{name}" for name in ("rect", "line", "circle", "polygon", "path", "text")}


def unknown_classes(drawing: Drawing) -> set[str]:
    used = {name for one in drawing.elements for name in one.attrib.get("class", "").split()}
    return used - KNOWN


def ink(drawing: Drawing) -> list[tuple[float, float]]:
    """Every point that is drawn, with a circle's and a rectangle's farthest ones; hatchings are of their own frame."""
    hatched = {part for one in drawing.root.iter(f"{SPACE}pattern") for part in one.iter()}
    found: list[tuple[float, float]] = []
    for one in drawing.elements:
        if one in hatched or one.tag not in DRAWN or one.tag == f"{SPACE}text":
            continue
        assert "transform" not in one.attrib
        found += points_of(dict(one.attrib), one.tag.removeprefix(SPACE))
    return found


def points_of(of: dict[str, str], tag: str) -> list[tuple[float, float]]:
    if tag == "line":
        return [(float(of["x1"]), float(of["y1"])), (float(of["x2"]), float(of["y2"]))]
    if tag == "circle":
        x, y, r = (float(of[name]) for name in ("cx", "cy", "r"))
        return [(x - r, y - r), (x + r, y + r)]
    if tag == "rect":
        x, y, width, height = (float(of[name]) for name in ("x", "y", "width", "height"))
        return [(x, y), (x + width, y + height)]
    numbers = of["points"] if tag == "polygon" else of["d"]
    assert set(re.findall("[A-Za-z]", numbers)) <= {"M", "L"}, "straight lines in the view box's own coordinates"
    values = [float(value) for value in re.findall(r"-?\d+(?:\.\d+)?", numbers)]
    return list(zip(values[0::2], values[1::2], strict=True))


def wrongs(picture: Picture, prefix: str) -> list[str]:
    """Everything that is wrong with a small drawing."""
    drawing = Drawing(picture)  # raises if it is not well-formed
    wide, high = picture.width, picture.height
    wrong = faults(drawing, prefix)
    wrong += [f"class {name}" for name in sorted(unknown_classes(drawing))]
    wrong += [
        f"words {one!r} on {other!r}" if other else f"words {one!r} outside" for one, other in collisions(drawing)
    ]
    wrong += [f"ink at {x}, {y}" for x, y in ink(drawing) if not (0 <= x <= wide and 0 <= y <= high)]
    wrong += [
        f"small words {one.text!r}"
        for one in drawing.root.iter(f"{SPACE}text")
        if float(one.attrib["font-size"]) < SMALLEST
    ]
    if drawing.root.attrib["viewBox"] != f"0 0 {wide:g} {high:g}":
        wrong.append("view box")
    for key, said in (("title", picture.title), ("desc", picture.description)):
        if drawing.by_id[f"{prefix}-{key}"].text != said or len(said) < (8 if key == "title" else 60):
            wrong.append(f"{key}: {said!r}")
    if not boxes(drawing):
        wrong.append("no words")
    return wrong


def shapes(picture: Picture, prefix: str) -> str:
    """The drawing without its words and its name: two drawings that differ only there tell nothing apart."""
    without = re.sub(r"<(title|desc|text)[^>]*>[^<]*</\1>", "", picture.svg)
    return without.replace(prefix, "")
