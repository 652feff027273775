"""Two-sided bars: what each entry does to one result when it is at its low and at its high end.

The two ends are told apart by their hatchings, by their lanes (low over high) and by words; the way an effect goes by
the side of zero it lies on, by its sign and by the words at the axis' ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.axis import Axis
from quarterturn.figures.svg import HEADING, ROW, SIZE, WIDTH, Element, Picture
from quarterturn.numbers import fixed, rounded

EDGE = 4.0
LANE, BAR = 16.0, 11.0
HATCHES = {"low": "upright", "high": "rising"}
LONGEST = 1e7  # so that the numbers stay short
_LABEL = 20.0  # a row's label takes this much over its lanes
_ROW_HEIGHT = _LABEL + 2 * LANE + 4


@dataclass(frozen=True, slots=True)
class Bar:
    """One row: its label, the signed effects of its low and high end, and in words what those ends are.

    An effect of None says that the result does not exist there.
    """

    label: str
    low: float | None
    high: float | None
    low_words: str = ""
    high_words: str = ""


@dataclass(frozen=True, slots=True)
class Bars:
    """Everything that is drawn, in the caller's order. Effects are in `unit`.

    `x_label` says what they change, `x_ends` what less and more of it mean, `low_key` and `high_key` what the two
    hatchings are.
    """

    rows: tuple[Bar, ...]
    x_label: str
    x_ends: tuple[str, str] = ("← less", "more →")
    low_key: str = "entry at its low end"
    high_key: str = "entry at its high end"
    unit: str = "turns"
    decimals: int = 2


@lru_cache(maxsize=16)
def bars(figure: Bars, *, prefix: str, name: str, title: str) -> Picture:
    """Draw two-sided bars around zero, two lanes a row.

    Args:
        figure: what is drawn.
        prefix: put before every id, so that several figures can stand on one page.
        name: the picture's name for programs.
        title: what is shown; it is also written over the bars.

    The group PREFIX-bars carries data-scale-x (user units per unit of effect) and data-origin-x (where zero is drawn).
    In it are the rectangles PREFIX-low-0, PREFIX-high-0 and so on, one side of each at zero, and the words
    PREFIX-label-0, PREFIX-low-words-0, PREFIX-high-words-0.

    Raises:
        ValueError: there is no row, or an effect is not finite or beyond ±10 million.
    """
    _check(figure)
    axis = _axis(figure)
    top = 16 + ROW + 8
    bottom = top + _ROW_HEIGHT * len(figure.rows)
    drawn: list[Element] = []
    for at in range(len(figure.rows)):
        drawn += _row(figure, axis, at, top + _ROW_HEIGHT * at, prefix)
    chart = svg.group(*drawn, id=f"{prefix}-bars", data_scale_x=repr(axis.scale), data_origin_x=repr(axis.start))
    patterns = [svg.hatching(f"{prefix}-hatch-{side}", kind, 4) for side, kind in HATCHES.items()]
    heading = svg.text(
        EDGE, 16, svg.shortened(title, WIDTH - 2 * EDGE, HEADING, bold=True), size=HEADING, class_="qt-text qt-strong"
    )
    under, end = _under(figure, axis, bottom, prefix)
    children = [svg.element("defs", *patterns), heading, chart, *under]
    return svg.picture(name, title, _description(figure), WIDTH, end, children, prefix=prefix)


def _check(figure: Bars) -> None:
    if not figure.rows:
        raise ValueError("bars need a row")
    for value in _effects(figure):
        if not abs(value) <= LONGEST:  # false for NaN too
            raise ValueError(f"an effect must be finite and within ±{LONGEST:g}: {value}")


def _effects(figure: Bars) -> list[float]:
    return [value for row in figure.rows for value in (row.low, row.high) if value is not None]


def _axis(figure: Bars) -> Axis:
    """Zero and the largest scale with which every bar keeps room for its words beyond its end.

    No scale is larger than one for bars of half the last digit shown: what its words call nothing looks like nothing.
    """
    least = 0.5 / 10**figure.decimals
    left, right = [(least, EDGE)], [(least, EDGE)]  # how far bars go from zero, and the room their words take
    for at, row in enumerate(figure.rows):
        for side, effect in (("low", row.low), ("high", row.high)):
            room = svg.text_width(_said(figure, at, side), SIZE) + EDGE + 6
            (left if _goes_left(effect, side) else right).append((abs(rounded(effect or 0.0)), room))
    scale = min((WIDTH - room - other) / (far + away) for far, room in left for away, other in right if far or away)
    lowest = max(far * scale + room for far, room in left)
    highest = min(WIDTH - far * scale - room for far, room in right)
    largest = max(far for far, _ in (*left, *right))
    return Axis(0.0, largest, (lowest + highest) / 2, scale)


def _goes_left(effect: float | None, side: str) -> bool:
    """Where a bar goes and its words stand; those of no effect take the sides in turn."""
    return effect < 0 if effect else side == "low"


_MOST = 0.42 * WIDTH  # room for the words at the end of a bar


def _said(figure: Bars, at: int, side: str) -> str:
    """The words at a bar's end: what the entry was, and the signed effect."""
    row = figure.rows[at]
    effect, entry = (row.low, row.low_words) if side == "low" else (row.high, row.high_words)
    value = "no answer" if effect is None else signed(effect, figure.decimals)
    if not entry:
        return value
    return f"{svg.shortened(entry, _MOST - svg.text_width(f': {value}', SIZE), SIZE)}: {value}"


def signed(effect: float, decimals: int) -> str:
    """Write an effect with its sign; without one where it rounds to nothing.

    >>> signed(0.214, 2), signed(-0.214, 2), signed(0.001, 2)
    ('+0.21', '−0.21', '0.00')
    """
    said = fixed(effect, decimals)
    return f"+{said}" if effect > 0 and said.strip("0.") else said


def _row(figure: Bars, axis: Axis, at: int, top: float, prefix: str) -> list[Element]:
    label = svg.shortened(figure.rows[at].label, WIDTH - 2 * EDGE, SIZE)
    drawn = [
        svg.line(EDGE, top, WIDTH - EDGE, top, class_="qt-rule"),
        svg.text(EDGE, top + 14, label, size=SIZE, class_="qt-text qt-halo", id=f"{prefix}-label-{at}"),
    ]
    for lane, side in enumerate(HATCHES):
        drawn += _bar(figure, axis, at, side, top + _LABEL + lane * LANE, prefix)
    drawn.append(svg.line(axis.start, top + _LABEL - 2, axis.start, top + _ROW_HEIGHT, class_="qt-zero"))
    return drawn


def _bar(figure: Bars, axis: Axis, at: int, side: str, y: float, prefix: str) -> list[Element]:
    row = figure.rows[at]
    effect = row.low if side == "low" else row.high
    end = axis.at(effect or 0.0)
    left, width = min(axis.start, end), abs(end - axis.start)
    before = _goes_left(effect, side)
    words = svg.text(
        end - 6 if before else end + 6, y + BAR - 1, _said(figure, at, side), size=SIZE,
        anchor="end" if before else "start", class_="qt-text qt-halo", id=f"{prefix}-{side}-words-{at}",
    )  # fmt: skip
    if effect is None:
        return [words]
    box = (left, y, width, BAR)
    return [
        svg.rect(*box, class_="qt-bar", id=f"{prefix}-{side}-{at}"),
        svg.rect(*box, fill=f"url(#{prefix}-hatch-{side})"),
        words,
    ]


def _under(figure: Bars, axis: Axis, y: float, prefix: str) -> tuple[list[Element], float]:
    """The words for the axis and the key to the hatchings."""
    before, after = (svg.shortened(words, 0.5 * WIDTH - EDGE - 6, SIZE, bold=True) for words in figure.x_ends)
    strong = "qt-text qt-strong"
    drawn = [
        svg.line(EDGE, y, WIDTH - EDGE, y, class_="qt-rule"),
        svg.text(EDGE, y + 16, before, size=SIZE, class_=strong),
        svg.text(WIDTH - EDGE, y + 16, after, size=SIZE, anchor="end", class_=strong),
        svg.text(WIDTH / 2, y + 33, svg.shortened(figure.x_label, WIDTH - 2 * EDGE, SIZE), size=SIZE, anchor="middle"),
    ]
    y += 41
    for side, words in (("low", figure.low_key), ("high", figure.high_key)):
        box = (EDGE, y, 28.0, 13.0)
        drawn += [
            svg.rect(*box, class_="qt-bar"),
            svg.rect(*box, fill=f"url(#{prefix}-hatch-{side})"),
            svg.text(42, y + 11, svg.shortened(words, WIDTH - EDGE - 42, SIZE), size=SIZE, id=f"{prefix}-key-{side}"),
        ]
        y += 18
    return drawn, y + 2


def _description(figure: Bars) -> str:
    said = [f"{figure.x_label}, in {figure.unit}, when one entry at a time is changed."]
    for row in figure.rows:
        parts = []
        for key, entry, effect in (
            (figure.low_key, row.low_words, row.low),
            (figure.high_key, row.high_words, row.high),
        ):
            value = "no answer" if effect is None else signed(effect, figure.decimals)
            parts.append(f"{key}{f' ({entry})' if entry else ''} {value}")
        said.append(f"{row.label}: {', '.join(parts)}.")
    return " ".join(said)
