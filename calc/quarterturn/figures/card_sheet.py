"""What a setup card says and its sizes, and how much room words take on it.

One user unit is one millimetre of paper. Nothing on a card is smaller than `SMALLEST`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.figures import svg
from quarterturn.figures.qr import QUIET, Code

SMALLEST = 2.3
"""The smallest letters, mm: 6.5 pt, for a card that is read at arm's length (our own measure)."""
MODULE = 0.33
"""The smallest square of the code, mm: for an ordinary camera and an ordinary printer (our own measure)."""
WIDER_FROM = ((0x1100, 0.45), (0x250, 0.4))
"""From these letters on (Unicode) one may be wider than a Latin one, by so much of its size: all are taken so."""


@dataclass(frozen=True, slots=True)
class CardSize:
    """A size of card, mm.

    Attributes:
        words: what it is called.
        code: the side of the square that the code has, its white rim included.
        big, plain, small: sizes of letters.
        lead: from line to line of the facts.
        label: room for the names of the facts.
        bolt: height of a bolt's part.
    """

    name: str
    words: str
    width: float
    height: float
    margin: float
    code: float
    big: float
    plain: float
    small: float
    lead: float
    label: float
    bolt: float

    @property
    def most_modules(self) -> int:
        """How many squares a side of the code can have."""
        return math.floor(self.code / MODULE + 1e-9) - 2 * QUIET


SIZES = {
    size.name: size
    for size in (
        CardSize("a6", "A6, 148 by 105 mm", 148.0, 105.0, 5.0, 44.0, 5.2, 2.8, 2.5, 4.25, 25.0, 18.5),
        CardSize("index", "index card, 5 by 3 in", 127.0, 76.2, 4.0, 36.0, 4.2, 2.45, 2.3, 3.15, 21.0, 12.7),
    )
}


@dataclass(frozen=True, slots=True)
class BoltScale:
    """One bolt on its scale of turns, out is positive.

    Attributes:
        title: which bolt.
        words: where it stands.
        at: the same, in turns from its zero.
        zero: what its zero is called.
        inner, outer: ends of its window.
        window: the window in words, rounded inward.
    """

    title: str
    words: str
    at: float
    zero: str
    inner: float
    outer: float
    window: str


@dataclass(frozen=True, slots=True)
class Notice:
    """What must be seen first, in the place of the scales: a few words, and a sentence or two.

    `black` is white on black.
    """

    title: str
    sentences: tuple[str, ...]
    black: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that a card says.

    Attributes:
        name: of the bow.
        parts: riser and limbs, each with its label.
        day, by: when it was set so and by whom, in words.
        bolts: both on their scales, or none.
        notice: instead of the scales.
        facts: what was measured, by label; an empty value is a line to write on.
        cautions: sentences.
        code: the QR code, or None.
        beside: what stands under the code, or in its place.
        across: words across the whole card, or "".
    """

    name: str
    parts: tuple[tuple[str, str], ...]
    day: str
    by: str
    bolts: tuple[BoltScale, ...]
    notice: Notice | None
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    code: Code | None
    beside: tuple[str, ...]
    across: str = ""


def width_of(words: str, size: float, *, bold: bool = False) -> float:
    """About how wide words are, mm; errs on the long side, for letters of any writing."""
    more = [next((more for first, more in WIDER_FROM if ord(letter) >= first), 0.0) for letter in words]
    return svg.text_width(words, size, bold=bold) + size * math.fsum(more)


def fitted(words: str, room: float, size: float, *, bold: bool = False) -> str:
    """Words cut to the room there is, with an ellipsis where something is left out."""
    if width_of(words, size, bold=bold) <= room:
        return words
    kept = words
    while kept and width_of(f"{kept}…", size, bold=bold) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def lines_of(words: str, room: float, size: float, most: int, *, bold: bool = False) -> list[str]:
    """Words broken into lines that fit, a longer one within itself; what is left after the last is cut off."""
    lines: list[str] = []
    rest = words.split()
    while rest and len(lines) < most - 1:
        count = _count(rest, room, size, bold)
        if count:
            lines.append(" ".join(rest[:count]))
            rest = rest[count:]
        else:
            part = _part(rest[0], room, size, bold)
            lines.append(part)
            rest[0] = rest[0][len(part) :]
    return [*lines, fitted(" ".join(rest), room, size, bold=bold)] if rest else lines


def _count(words: list[str], room: float, size: float, bold: bool) -> int:
    """How many of these words have room in one line."""
    count = 0
    while count < len(words) and width_of(" ".join(words[: count + 1]), size, bold=bold) <= room:
        count += 1
    return count


def _part(word: str, room: float, size: float, bold: bool) -> str:
    """The longest beginning of a word that has room; one letter at least."""
    length = len(word)
    while length > 1 and width_of(word[:length], size, bold=bold) > room:
        length -= 1
    return word[:length]
