"""The words that widgets share: turns, lengths, limits, cautions."""

from __future__ import annotations

import math

from quarterturn import days, units
from quarterturn.bench.window import Window, WindowLimit
from quarterturn.numbers import fixed, fixed_down, fixed_up, quarters, rounded, same
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Stage

LIMITS = {
    "flush": "flush",
    "stop": "the stop",
    "maker_in": "the maker's inner limit",
    "touch": "first touch",
    "cover": "the cover of the bolt by the butt",
    "thread": "the thread that is left",
    "maker_out": "the maker's outer limit",
}

CAUTIONS = (
    "The maker's manual comes first. Where it permits less than this page, follow the manual.",
    "Take the string off the bow before you turn a bolt or its lock, every time.",
    "Look at limbs, butts, slots, fittings and bolts before you begin and when you have finished. With a crack, do not "
    "string the bow.",
    "Never dry-fire: never let go of the string without an arrow on it.",
    "When in doubt, ask a qualified coach or a bow technician. Follow club and range rules as well.",
)

STRING_OFF = Stage("Take the string off, step by step", "bow", "unstringing", "read")
STRING_ON = Stage("String it, step by step", "bow", "stringing", "read")
OFF_AND_ON = (STRING_OFF, STRING_ON)
"""Where it is told how the string is put on and taken off: for every list of steps that asks for it."""


def turns(value: float) -> str:
    """Turns to a hundredth, with the word."""
    return f"{fixed(value, 2)} {turn_word(value)}"


def turn_word(value: float) -> str:
    """The word after a number of turns: "turn" up to one, "turns" beyond."""
    return "turn" if rounded(abs(value)) <= 1 else "turns"


def turns_up(value: float) -> str:
    """Turns rounded up to a hundredth: for the inner end, so that rounding never widens the window."""
    return f"{fixed_up(value, 2)} {turn_word(value)}"


def turns_down(value: float) -> str:
    """Turns rounded down to a hundredth: for the outer end and for widths."""
    return f"{fixed_down(value, 2)} {turn_word(value)}"


def by_hand(value: float) -> str:
    """A part of a turn, the way a hand makes it."""
    size = abs(value)
    if same(size, 0.5):
        return "half a turn"
    if same(size, 0.25):
        return "a quarter of a turn"
    return turns(size)


def amount(value: float) -> str:
    """Turns in a headline: in quarters, or off them to a tenth of a turn.

    >>> amount(-1.0), amount(0.5), amount(1.75), amount(2.43)
    ('1 turn', 'half a turn', '1¾ turns', '2.4 turns')
    """
    size = abs(value)
    if same(size, 0.5) or same(size, 0.25):
        return by_hand(size)
    if rounded(size) < 0.05:
        return "less than 0.1 turn"
    return f"{place(size)} {turn_word(size)}"


def place(value: float) -> str:
    """Where a bolt is, as a hand counts it: in quarters, or off them to a tenth of a turn.

    >>> place(2.5), place(2.4), place(0.0)
    ('2½', '2.4', '0')
    """
    if _on_a_quarter(value):
        return quarters(value)
    text = fixed(value, 1)
    return "0" if text == "0.0" else text


def _on_a_quarter(value: float) -> bool:
    count = rounded(value * 4)
    return abs(count - round(count)) < 1e-9


def quarters_inside(window: Window) -> tuple[float, float] | None:
    """The first and the last whole quarter of a turn that a window holds; None where it holds none."""
    first = math.ceil(rounded(window.inner.usable * 4) - 1e-9) / 4
    last = math.floor(rounded(window.outer.usable * 4) + 1e-9) / 4
    return (first, last) if first <= last else None


def safe_range(window: Window) -> str:
    """A window in whole quarters, rounded inward: "½ to 4¾ turns out"."""
    found = quarters_inside(window)
    if found is None:
        return "less than a quarter turn"
    first, last = map(quarters, found)
    return f"{first} turns out" if first == last else f"{first} to {last} turns out"


def direction(value: float, hand: str) -> str:
    """Which way: in or out, and how the key turns where the thread's hand is known ("right", "left", else "")."""
    way = "out" if value > 0 else "in"
    if not hand:
        return way
    return f"{way} ({'clockwise' if (value > 0) is (hand == 'left') else 'anticlockwise'}, facing the head)"


def hand_of(values: Values) -> str:
    """The thread's hand, as it was seen on the bow: "right", "left", or "" where nobody has looked."""
    return values.choice("thread_hand") if values.entered("thread_hand") else ""


LOOK_WHICH_WAY = "Turn an eighth first, and look which way the head moves: not every thread is right-handed."
"""Said where a bolt is turned and the thread's hand is not known."""


def position(value: float) -> str:
    """A position from zero: "2½ turns out from zero"."""
    if same(value, 0.0):
        return "at zero"
    side = "out from" if value > 0 else "in past"
    return f"{quarters(abs(value))} {turn_word(value)} {side} zero"


def day(value: int) -> str:
    """A day in words: "30 June 2026"."""
    return days.in_words(value)


def sentence(text: str) -> str:
    """With a full stop at its end, where initials have not brought one.

    >>> sentence("by A. E."), sentence("by AE")
    ('by A. E.', 'by AE.')
    """
    return text if text.endswith(".") else f"{text}."


def capital(text: str) -> str:
    """With a capital letter at its beginning."""
    return text[:1].upper() + text[1:]


def lower(text: str) -> str:
    """With a small letter at its beginning: for the middle of a sentence."""
    return text[:1].lower() + text[1:]


def is_nothing(number: str) -> bool:
    """Whether a number as it is shown has no digit but zeros."""
    return not any(sign in "123456789" for sign in number)


def length(value: float, unit: str, decimals: int | None = None) -> str:
    """A length in SI, shown in millimetres or inches."""
    places = (2 if unit == "mm" else 4) if decimals is None else decimals
    return f"{fixed(units.from_si(value, unit), places)} {units.unit(unit).symbol}"


def degrees(angle: float) -> str:
    """An angle in radians, shown in degrees."""
    return f"{fixed(units.from_si(angle, 'deg'), 2)}°"


def limit(found: WindowLimit) -> str:
    """The name of a limit in words."""
    return LIMITS[found.name]


def listed(parts: list[str]) -> str:
    """One, two and three."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
