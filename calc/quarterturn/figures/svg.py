"""A tiny builder of SVG: elements with escaped text, attributes in one order, numbers through one formatter.

The figures carry no colour, no style attribute and no script. Colours, fonts and dashes come from a stylesheet
(`docs/assets/qt-figures.css` is ours) through these classes:

    whole      qt-figure the svg, qt-window a ground, qt-frame a frame, qt-rule a thin rule
    words      qt-text, qt-strong, qt-quiet; over lines qt-halo, qt-halo-limb, qt-halo-bolt, qt-halo-riser
    hatchings  qt-hatch lines, qt-hatch-dot dots
    pocket     qt-riser, qt-riser-line, qt-limb, qt-limb-line, qt-limb-back, qt-slot, qt-bolt, qt-bolt-line,
               qt-bolt-far (hidden), qt-bolt-round, qt-head-underside, qt-axis, qt-zero-line (flush), qt-fulcrum
    force      qt-force one arrow, qt-force-small with qt-force-block where it is spread; qt-bend, qt-bend-halo and
               qt-bend-arrow the way a shank is bent
    contact    qt-contact the point, qt-contact-line when flush, qt-gap, qt-strip the feeler
    by hand    qt-grip what a finger takes hold of
    measures   qt-dimension, qt-dimension-strong
    sketches   qt-crack what is spoiled, qt-light a shine, qt-string a thin cord, qt-cord and
               qt-cord-inner a thick one
    scale      qt-zone-usable, qt-zone-reserve, qt-zone-stop, qt-edge, qt-edge-limit, qt-tick, qt-mark, qt-pole,
               qt-middle, qt-overlap, qt-now, qt-now-bar, qt-now-halo, qt-now-arrow
    charts     qt-plot the ground, qt-grid, qt-zero (its line), qt-band with qt-band-hatch, qt-line with qt-line-solid,
               qt-line-dashed, qt-line-dotted or qt-line-dash-dot, qt-point, qt-leader from words to what they name,
               qt-tick-x and qt-tick-y the axes' numbers, qt-handle a chart's place to drag, qt-bar, qt-ribbon a doubt
               along a line, qt-dot with qt-dot-rim a reading and qt-error-bar its uncertainty
    card       qt-card-paper and qt-card-cut its sheet; qt-card-text and qt-card-white (on qt-card-black) words,
               qt-card-box, qt-card-frame, qt-card-rule, qt-card-blank a line to write on, qt-card-out with
               qt-card-hatch, qt-card-window, qt-card-tick, qt-card-now with qt-card-arrow, qt-card-code the QR code,
               qt-card-across words over all of it
    whole bow  qt-bow-limb, qt-bow-belly (the line its points lie on), qt-bow-contact where the string lies on it,
               qt-bow-before another shape of the same bow

Nothing is told by colour alone: zones have hatchings, marks have shapes, and all have words.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache

from quarterturn.markup import escape

SVG_NAMESPACE = "http://www.w3.org/2000/svg"
WIDTH = 312.0
"""The width of a figure on a page, in user units: so narrow that its words are 13 px high in a pane of 338 px."""
SIZE, HEADING = 12.0, 13.0
"""Sizes of letters: of words in a figure, and of its heading."""
ROW = 16.0
"""From line to line."""

# Attributes are written in this order; those that are not listed follow by the alphabet.
_ORDER = (
    "xmlns", "id", "class", "role", "aria-labelledby", "aria-hidden", "viewBox", "width", "height", "x", "y",
    "x1", "y1", "x2", "y2", "cx", "cy", "r", "d", "points",
)  # fmt: skip
_RANK = {name: rank for rank, name in enumerate(_ORDER)}
_CAMEL = {"viewbox": "viewBox", "patternunits": "patternUnits", "patterntransform": "patternTransform"}

# Widths of characters as parts of the font size: those of a wide sans-serif face, so that a label has room in others.
_NARROW = frozenset("iljfI.,:;!|'()[] ·")
_MIDDLE = frozenset("trsczk-/")
_WIDE = frozenset("mwMW@%—→←±−…")
BOLD = 1.12
"""Bold words are wider by this."""


@dataclass(frozen=True, slots=True)
class Picture:
    """One drawing: its name, the words that stand for it, the SVG, and the size of its view box in user units."""

    name: str
    title: str
    description: str
    svg: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Element:
    """One SVG element, written out. A child that is a string is text, and is escaped."""

    markup: str


@lru_cache(maxsize=8192)  # most of a picture stays where it was
def number(x: float) -> str:
    """Write a coordinate: three decimals at most, no −0, and never a NaN (a ValueError).

    >>> number(2.50), number(-0.00001)
    ('2.5', '0')
    """
    if not math.isfinite(x):
        raise ValueError(f"x must be finite: {x}")
    # 12 digits first, as `fixed` does; this is the quicker way, for a picture holds hundreds of coordinates.
    text = f"{float(f'{x:.11e}'):.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(name: str, *children: Element | str, **attributes: str | float | None) -> Element:
    """Make an element. Keywords: `class_` is class, `_` in a name is "-", a value None leaves the attribute out."""
    start = name
    for key, written in _written_order(tuple(attributes)):
        value = attributes[key]
        if value is not None:
            start += f' {written}="{escape(value) if isinstance(value, str) else number(value)}"'
    if not children:
        return Element(f"<{start}/>")
    inner = "".join([escape(child) if isinstance(child, str) else child.markup for child in children])
    return Element(f"<{start}>{inner}</{name}>")


@cache
def _written_order(keys: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Keywords with the attributes they are, in the order in which they are written."""
    named = [(key, _attribute_name(key)) for key in keys]
    return tuple(sorted(named, key=lambda pair: (_RANK.get(pair[1], len(_ORDER)), pair[1])))


@cache
def _attribute_name(key: str) -> str:
    name = key.rstrip("_").replace("_", "-")
    if name == "style" or name.startswith("on"):
        raise ValueError(f"attribute not allowed: {name}")
    return _CAMEL.get(name, name)


def group(*children: Element | str, **attributes: str | float | None) -> Element:
    """A g element."""
    return element("g", *children, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, **attributes: str | float | None) -> Element:
    """A straight line."""
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **attributes)


def rect(x: float, y: float, width: float, height: float, **attributes: str | float | None) -> Element:
    """A rectangle; a negative width or height is drawn as nothing."""
    return element("rect", x=x, y=y, width=max(width, 0.0), height=max(height, 0.0), **attributes)


def circle(cx: float, cy: float, r: float, **attributes: str | float | None) -> Element:
    """A circle."""
    return element("circle", cx=cx, cy=cy, r=r, **attributes)


def polygon(points: list[tuple[float, float]], **attributes: str | float | None) -> Element:
    """A closed polygon."""
    return element("polygon", points=" ".join(f"{number(x)},{number(y)}" for x, y in points), **attributes)


def path(*parts: str | float, **attributes: str | float | None) -> Element:
    """A curve from letters and numbers, as in ("M", 0, 0, "L", 5, 5)."""
    return element("path", d=" ".join(p if isinstance(p, str) else number(p) for p in parts), **attributes)


def open_line(points: Iterable[tuple[float, float]], **attributes: str | float | None) -> Element:
    """A line from point to point, not closed."""
    parts: list[str | float] = []
    for at, (x, y) in enumerate(points):
        parts += ["L" if at else "M", x, y]
    return path(*parts, **attributes)


def text(
    x: float, y: float, words: str, *, size: float = 13, anchor: str = "start", class_: str = "qt-text",
    **attributes: str | float | None,
) -> Element:  # fmt: skip
    """Words with their baseline's start, middle or end at (x, y)."""
    anchoring = None if anchor == "start" else anchor
    return element("text", words, x=x, y=y, class_=class_, font_size=size, text_anchor=anchoring, **attributes)


def text_width(words: str, size: float = 13, *, bold: bool = False) -> float:
    """About how long words are in a sans-serif face, in the units of size; errs on the long side."""
    # Not sum(), which rounds in another way from Python 3.12 on: all Pythons write the same text.
    return size * math.fsum(map(_part, words)) * (BOLD if bold else 1.0)


def _part(char: str) -> float:
    if char in _NARROW:
        return 0.36
    return 0.52 if char in _MIDDLE else 0.95 if char in _WIDE else 0.64


def shortened(words: str, room: float, size: float = 13, *, bold: bool = False) -> str:
    """Cut words to the room there is, with an ellipsis where something is left out."""
    room = room / BOLD if bold else room
    if text_width(words, size) <= room:
        return words
    kept = words
    while kept and text_width(kept + "…", size) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def wrapped(words: str, room: float, size: float, most: int, *, bold: bool = False) -> list[str]:
    """Break words into lines that fit; what is left after the last line is cut off with an ellipsis."""
    room = room / BOLD if bold else room
    lines: list[str] = []
    rest = words.split()
    while rest and len(lines) < most - 1:
        count = next((n for n in range(len(rest), 0, -1) if text_width(" ".join(rest[:n]), size) <= room), 1)
        lines.append(shortened(" ".join(rest[:count]), room, size))
        rest = rest[count:]
    return [*lines, shortened(" ".join(rest), room, size)] if rest else lines


def heading(lines: Iterable[str], left: float) -> list[Element]:
    """The lines over a figure."""
    return [
        text(left, 16 + at * ROW, words, size=HEADING, class_="qt-text qt-strong") for at, words in enumerate(lines)
    ]


def bar_path(start: float, end: float, y: float, stroke: float) -> tuple[str | float, ...]:
    """The path of a level bar with a stroke across each end, so long to either side."""
    low, high = y - stroke, y + stroke
    return "M", start, low, "V", high, "M", start, y, "H", end, "M", end, low, "V", high


def arrow_outline(
    foot: tuple[float, float], tip: tuple[float, float], shaft: float, head: float, back: float, whole: float
) -> list[tuple[float, float]]:
    """The outline of an arrow from its tip round: half widths of shaft and head, the head's length.

    One shorter than `whole` is slimmer too; one without length is a point.
    """
    length = math.dist(foot, tip)
    part = min(1.0, length / whole)
    x, y = ((tip[0] - foot[0]) / length, (tip[1] - foot[1]) / length) if length else (0.0, -1.0)
    shaft, head, back = shaft * part, head * part, back * part

    def at(along: float, aside: float) -> tuple[float, float]:
        return tip[0] - along * x - aside * y, tip[1] - along * y + aside * x

    return [
        tip, at(back, head), at(back, shaft), at(length, shaft), at(length, -shaft), at(back, -shaft), at(back, -head),
    ]  # fmt: skip


def clip(identity: str, x: float, y: float, width: float, height: float) -> Element:
    """A rectangle to clip by: use it as clip_path=f"url(#{identity})"."""
    return element("clipPath", rect(x, y, width, height), id=identity)


def hatching(identity: str, kind: str, spacing: float = 5) -> Element:
    """A pattern to fill with: "rising", "falling", "crossed", "upright", "level" or "dots"."""
    marks = _marks(kind, spacing)
    turned = {"rising": "rotate(45)", "falling": "rotate(-45)", "crossed": "rotate(45)"}.get(kind)
    return element(
        "pattern", *marks, id=identity, width=spacing, height=spacing,
        patternunits="userSpaceOnUse", patterntransform=turned,
    )  # fmt: skip


def _marks(kind: str, spacing: float) -> list[Element]:
    half = spacing / 2
    if kind == "dots":
        return [circle(half, half, spacing / 5, class_="qt-hatch-dot")]
    marks = []
    if kind in ("rising", "falling", "upright", "crossed"):
        marks.append(line(half, 0, half, spacing, class_="qt-hatch"))
    if kind in ("level", "crossed"):
        marks.append(line(0, half, spacing, half, class_="qt-hatch"))
    if not marks:
        raise ValueError(f"no such hatching: {kind}")
    return marks


def picture(
    name: str, title: str, description: str, width: float, height: float, children: list[Element], *, prefix: str,
) -> Picture:  # fmt: skip
    """Put children into an svg that is announced as one image, with title and description."""
    root = element(
        "svg",
        element("title", title, id=f"{prefix}-title"),
        element("desc", description, id=f"{prefix}-desc"),
        *children,
        xmlns=SVG_NAMESPACE, id=f"{prefix}-figure", class_="qt-figure", role="img",
        aria_labelledby=f"{prefix}-title {prefix}-desc", viewbox=f"0 0 {number(width)} {number(height)}",
    )  # fmt: skip
    return Picture(name, title, description, root.markup, width, height)
