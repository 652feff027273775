"""Reads a drawing back: elements by id, their numbers, and the boxes that words need."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass

from quarterturn.figures import svg
from quarterturn.figures.svg import Picture

SPACE = "{http://www.w3.org/2000/svg}"


class Drawing:
    """The parsed svg of one picture."""

    def __init__(self, picture: Picture) -> None:
        self.picture = picture
        self.root = ElementTree.fromstring(picture.svg)
        self.elements = list(self.root.iter())
        self.ids = [one.attrib["id"] for one in self.elements if "id" in one.attrib]
        self.by_id = {one.attrib["id"]: one for one in self.elements if "id" in one.attrib}

    def numbers(self, identity: str, *names: str) -> tuple[float, ...]:
        return tuple(float(self.by_id[identity].attrib[name]) for name in names)

    def line(self, identity: str) -> tuple[float, float, float, float]:
        x1, y1, x2, y2 = self.numbers(identity, "x1", "y1", "x2", "y2")
        return x1, y1, x2, y2

    def points(self, identity: str) -> list[tuple[float, float]]:
        pairs = [pair.split(",") for pair in self.by_id[identity].attrib["points"].split()]
        return [(float(x), float(y)) for x, y in pairs]

    def words(self) -> list[str]:
        return [one.text or "" for one in self.elements if one.tag == f"{SPACE}text"]


@dataclass(frozen=True)
class Frame:
    """One window of the side view: from user units back to millimetres of the pocket's frame."""

    drawing: Drawing
    key: str

    def scale(self) -> tuple[float, float]:
        x, y = self.drawing.numbers(self.key, "data-scale-x", "data-scale-y")
        return x, y

    def mm(self, x: float, y: float) -> tuple[float, float]:
        scale_x, scale_y = self.scale()
        origin_x, origin_y = self.drawing.numbers(self.key, "data-origin-x", "data-origin-y")
        return (x - origin_x) / scale_x, (origin_y - y) / scale_y


@dataclass(frozen=True)
class Box:
    """What one text takes up, estimated from its length."""

    words: str
    left: float
    top: float
    right: float
    bottom: float

    def hits(self, other: Box) -> bool:
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


def boxes(drawing: Drawing) -> list[Box]:
    """Boxes of all words that stand level."""
    found = []
    for one in drawing.elements:
        if one.tag != f"{SPACE}text" or not one.text or "transform" in one.attrib:
            continue
        size, x, y = (float(one.attrib[name]) for name in ("font-size", "x", "y"))
        width = svg.text_width(one.text, size, bold="qt-strong" in one.attrib["class"])
        left = x - {"start": 0.0, "middle": width / 2, "end": width}[one.attrib.get("text-anchor", "start")]
        found.append(Box(one.text, left, y - 0.76 * size, left + width, y + 0.2 * size))
    return found


def collisions(drawing: Drawing) -> list[tuple[str, str]]:
    """Pairs of words that lie on one another, and words that leave the picture (paired with nothing)."""
    found = boxes(drawing)
    pairs = [(one.words, other.words) for at, one in enumerate(found) for other in found[at + 1 :] if one.hits(other)]
    wide, high = drawing.picture.width, drawing.picture.height
    outside = [(one.words, "") for one in found if one.left < 0 or one.right > wide or one.top < 0 or one.bottom > high]
    return pairs + outside


def faults(drawing: Drawing, prefix: str) -> list[str]:
    """What no figure may have: ids twice or without prefix, references to nothing, styles, colours, odd numbers."""
    found = [f"twice: {identity}" for identity in drawing.ids if drawing.ids.count(identity) > 1]
    found += [f"without prefix: {identity}" for identity in drawing.ids if not identity.startswith(f"{prefix}-")]
    for one in drawing.elements:
        for name, value in one.attrib.items():
            if name in ("style", "stroke", "href") or name.startswith("on"):
                found.append(f"attribute {name}")
            if "nan" in value.lower().split() or "inf" in value.lower().split() or "−" in value:
                found.append(f"number {name}={value}")
            if "url(#" in value and value[5:-1] not in drawing.by_id:
                found.append(f"reference {value}")
            if name == "fill" and not value.startswith("url(#"):
                found.append(f"colour {value}")
    return found


def alike(millimetres: str, inches: str) -> None:
    """Hold that two texts say the same, each length as near as its digits: an inch is 25.4 mm (NIST SP 811, S2)."""
    one, other = (re.split(rf"([0-9.]+) {unit}\b", text) for unit, text in (("mm", millimetres), ("in", inches)))
    assert one[::2] == other[::2]
    assert len(one) > 1
    for first, second in zip(one[1::2], other[1::2], strict=True):
        assert abs(float(first) / 25.4 - float(second)) <= _half(first) / 25.4 + _half(second) + 1e-12, (first, second)


def _half(number: str) -> float:
    """Half of the last digit's unit."""
    return 0.5 * 10.0 ** -len(number.partition(".")[2])
