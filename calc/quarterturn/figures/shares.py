"""Level bars from zero against one limit: one number for several things, such as a share of the yield of materials.

What lies beyond the limit is told by its hatching and by standing past the limit's line, and the words at each bar say
how much it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.axis import Axis, axis_between
from quarterturn.figures.svg import HEADING, ROW, SIZE, WIDTH, Element, Picture
from quarterturn.numbers import at_most, rounded, trimmed

EDGE = 4.0
BAR = 11.0
LIMIT = 1.0
LARGEST = 1e6
_LABEL = 18.0  # a row's words take this much over its bar
_ROW_HEIGHT = _LABEL + BAR + 6
_TEXT = "qt-text qt-halo"


@dataclass(frozen=True, slots=True)
class Share:
    """One row: its label, the value against the limit of 1 (None for no answer), and the value in words."""

    label: str
    value: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Shares:
    """Everything that is drawn, in the caller's order.

    `axis_label` says what the bars are, `limit_words` what the line at 1 is, `over_words` what the hatching is.
    """

    rows: tuple[Share, ...]
    axis_label: str
    limit_words: str
    over_words: str = "beyond the limit"


@lru_cache(maxsize=16)
def shares(figure: Shares, *, prefix: str, name: str, title: str) -> Picture:
    """Draw level bars from zero with a line at 1, a label and a value over each.

    Args:
        figure: what is drawn.
        prefix: put before every id, so that several figures can stand on one page.
        name: the picture's name for programs.
        title: what is shown; it is also written over the bars.

    The group PREFIX-shares carries data-scale-x (user units per 1) and data-origin-x (where zero is drawn). In it are
    the path PREFIX-limit, the rectangles PREFIX-bar-0 and on, PREFIX-over-0 and on (the hatched part beyond the limit,
    where there is one), and the words PREFIX-label-0 and PREFIX-value-0 and on.

    Raises:
        ValueError: there is no row, or a value is not a number from 0 to a million.
    """
    _check(figure)
    axis = _axis(figure)
    headings = svg.wrapped(title, WIDTH - 2 * EDGE, HEADING, 2, bold=True)
    limit_y = 16 + ROW * len(headings) + 3
    top = limit_y + 7
    bottom = top + _ROW_HEIGHT * len(figure.rows)
    rows = [one for at in range(len(figure.rows)) for one in _row(figure, axis, at, top + _ROW_HEIGHT * at, prefix)]
    words = [one for at in range(len(figure.rows)) for one in _words(figure, at, top + _ROW_HEIGHT * at, prefix)]
    drawn = svg.group(
        *rows,
        _limit_line(axis, top, len(figure.rows), prefix),
        *words,
        id=f"{prefix}-shares",
        data_scale_x=repr(axis.scale),
        data_origin_x=repr(axis.start),
    )
    under, end = _under(figure, axis, bottom, prefix)
    children = [
        svg.element("defs", svg.hatching(f"{prefix}-hatch-over", "crossed", 5)),
        *svg.heading(headings, EDGE),
        _limit_words(figure, axis, limit_y, prefix),
        drawn,
        *under,
    ]
    return svg.picture(name, title, _description(figure), WIDTH, end, children, prefix=prefix)


def _check(figure: Shares) -> None:
    if not figure.rows:
        raise ValueError("shares need a row")
    for row in figure.rows:
        if row.value is not None and not 0 <= row.value <= LARGEST:  # false for NaN too
            raise ValueError(f"a share must be a number from 0 to {LARGEST:g}: {row.value}")


def _axis(figure: Shares) -> Axis:
    """From zero to the longest bar, or to a little past the limit."""
    longest = max((row.value for row in figure.rows if row.value is not None), default=0.0)
    return axis_between(0.0, max(rounded(longest), 1.15 * LIMIT), EDGE, WIDTH - EDGE)


def _is_over(value: float) -> bool:
    return not at_most(value, LIMIT)


def _limit_line(axis: Axis, top: float, rows: int, prefix: str) -> Element:
    """Beside every bar, and not through the words over it."""
    x = axis.at(LIMIT)
    parts: list[str | float] = ["M", x, top - 4, "V", top + 1]
    for at in range(rows):
        y = top + _ROW_HEIGHT * at + _LABEL
        parts += ["M", x, y - 3, "V", y + BAR + 6]
    return svg.path(*parts, class_="qt-edge qt-edge-limit", id=f"{prefix}-limit")


def _row(figure: Shares, axis: Axis, at: int, top: float, prefix: str) -> list[Element]:
    value, y = figure.rows[at].value, top + _LABEL
    drawn = [
        svg.line(EDGE, top, WIDTH - EDGE, top, class_="qt-rule"),
        svg.line(axis.start, y - 3, axis.start, y + BAR + 3, class_="qt-zero"),
    ]
    if value is None:
        return drawn
    drawn.append(svg.rect(axis.start, y, value * axis.scale, BAR, class_="qt-bar", id=f"{prefix}-bar-{at}"))
    if _is_over(value):
        box = (axis.at(LIMIT), y, (value - LIMIT) * axis.scale, BAR)
        drawn.append(svg.rect(*box, fill=f"url(#{prefix}-hatch-over)", id=f"{prefix}-over-{at}"))
    return drawn


def _words(figure: Shares, at: int, top: float, prefix: str) -> list[Element]:
    """The label on the left and the value on the right, over the bar; the value is what is cut last."""
    row, room = figure.rows[at], WIDTH - 2 * EDGE
    over = row.value is not None and _is_over(row.value)
    said = svg.shortened(row.words, 0.6 * room, SIZE, bold=True)
    label = svg.shortened(row.label, room - 8 - svg.text_width(said, SIZE, bold=True), SIZE)
    kind = f"{_TEXT} qt-strong" if over else _TEXT
    return [
        svg.text(EDGE, top + 14, label, size=SIZE, class_=_TEXT, id=f"{prefix}-label-{at}"),
        svg.text(WIDTH - EDGE, top + 14, said, size=SIZE, anchor="end", class_=kind, id=f"{prefix}-value-{at}"),
    ]


def _limit_words(figure: Shares, axis: Axis, y: float, prefix: str) -> Element:
    words = svg.shortened(figure.limit_words, WIDTH - 2 * EDGE, SIZE, bold=True)
    half = svg.text_width(words, SIZE, bold=True) / 2
    x = axis.at(LIMIT)
    place, anchor = (x, "middle")
    if x - half < EDGE:
        place, anchor = EDGE, "start"
    elif x + half > WIDTH - EDGE:
        place, anchor = WIDTH - EDGE, "end"
    kind = "qt-text qt-strong"
    return svg.text(place, y, words, size=SIZE, anchor=anchor, class_=kind, id=f"{prefix}-limit-words")


def _under(figure: Shares, axis: Axis, y: float, prefix: str) -> tuple[list[Element], float]:
    """0 and 1 under the bars, what they count, and the key to the hatching, which stands there whatever the values."""
    drawn = [
        svg.line(EDGE, y, WIDTH - EDGE, y, class_="qt-rule"),
        svg.text(axis.start, y + 16, "0", size=SIZE),
    ]
    if axis.at(LIMIT) > EDGE + 24:
        drawn.append(svg.text(axis.at(LIMIT), y + 16, trimmed(LIMIT, 0), size=SIZE, anchor="middle"))
    y += 33
    for words in svg.wrapped(figure.axis_label, WIDTH - 2 * EDGE, SIZE, 2):
        drawn.append(svg.text(EDGE, y, words, size=SIZE))
        y += ROW
    box = (EDGE, y - 8, 28.0, 13.0)
    words = svg.shortened(figure.over_words, WIDTH - EDGE - 42, SIZE)
    drawn += [
        svg.rect(*box, class_="qt-bar"),
        svg.rect(*box, fill=f"url(#{prefix}-hatch-over)"),
        svg.text(42, y + 3, words, size=SIZE, id=f"{prefix}-key"),
    ]
    return drawn, y + 10


def _description(figure: Shares) -> str:
    said = [f"{figure.axis_label}. The line at 1: {figure.limit_words}."]
    for row in figure.rows:
        beyond = "" if row.value is None or not _is_over(row.value) else f", {figure.over_words}"
        said.append(f"{row.label}: {row.words}{beyond}.")
    return " ".join(said)
