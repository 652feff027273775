"""A QR code (ISO/IEC 18004) as rows of modules, made by the library segno, and drawn as one path.

The library comes with the site, in a pinned version. Where a Python without it runs this package, nobody but this
module misses it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.svg import Element

QUIET = 4
"""Modules that are left white on each side (ISO/IEC 18004)."""


class NoCode(ValueError):  # noqa: N818 - it reads as what it says
    """No code can be made; the message is the rest of a sentence, after "because"."""


@dataclass(frozen=True, slots=True)
class Code:
    """A code.

    Attributes:
        version: 1 to 40.
        rows: of each row its dark runs, as (first module, how many).
    """

    version: int
    rows: tuple[tuple[tuple[int, int], ...], ...]

    @property
    def modules(self) -> int:
        """How many modules a side has, without the white around it."""
        return len(self.rows)


@lru_cache(maxsize=4)
def code(words: str, most: int) -> Code:
    """Make the code of these words (ASCII), at error correction level M or better, of at most so many modules a side.

    Raises:
        NoCode: where they are too long for that, or the library is not here.
    """
    try:
        from segno import encoder
    except ImportError:
        raise NoCode("the library that makes it is not installed here") from None
    if not words.isascii():
        raise NoCode("the address has characters that not every reader of codes can read")
    try:
        made = encoder.encode(words, error="m", mode="byte", micro=False)
    except encoder.DataOverflowError:
        raise NoCode("the record is too long for any code") from None
    if len(made.matrix) > most:
        raise NoCode("the record is too long for squares that a camera can read in this size")
    return Code(int(made.version), tuple(_runs(row) for row in made.matrix))


def _runs(row: bytearray) -> tuple[tuple[int, int], ...]:
    runs: list[tuple[int, int]] = []
    start = None
    for place, module in enumerate((*row, 0)):
        if module and start is None:
            start = place
        elif not module and start is not None:
            runs.append((start, place - start))
            start = None
    return tuple(runs)


def drawn(one: Code, x: float, y: float, side: float, **attributes: str) -> Element:
    """The code in a square of that side, the white around it included."""
    module = side / (one.modules + 2 * QUIET)
    outline = "".join(
        f"M{first} {row}h{count}v1h-{count}z" for row, runs in enumerate(one.rows) for first, count in runs
    )
    place = f"translate({svg.number(x + QUIET * module)} {svg.number(y + QUIET * module)}) scale({module:.6f})"
    return svg.element("path", d=outline, transform=place, shape_rendering="crispEdges", **attributes)
