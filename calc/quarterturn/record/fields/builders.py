"""What declarations of fields share: the units of a quantity, ranges of values, a field that each of two bolts has.

A builder takes a field's number, name, label and help, and by name what it has beside these; what is left out is a
field's own default (`field_types`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from quarterturn import days
from quarterturn.record.field_types import (
    ChoiceField,
    Condition,
    DateField,
    NumberField,
    Option,
    Role,
    Scope,
    TextField,
)

MADE_UP = "a made-up bow, for the worked example"
COMMON = "common practice, no source"
ASSUMED = "assumed, no source"
AMO = "where draw weight is marked (AMO)"

FELT = (Condition("bolt_family", ("flat", "stop")),)
"""Of bolts whose ends can be felt."""
COUNTED = (Condition("bolt_family", ("flat", "stop", "swivel", "pivot")),)
"""Of bolts for which a position can be counted at all."""
STOPPED = (Condition("bolt_family", ("stop",)),)
"""Of bolts with a stop."""
TURNED = (Condition("bolt_family", ("flat", "stop", "swivel", "pivot", "unknown")),)
"""Of bolts that are for turning, or may be."""
CLAMPED = (Condition("bolt_family", ("clamp",)),)
"""Of bolts that only clamp the limb."""
BY_MANUAL = (Condition("bolt_family", ("under", "two")),)
"""Of bolts and screws that only their manual can set."""
JOINED = (Condition("bolt_family", ("under", "two", "fixed")),)
"""Of these, and of a bow of one piece."""

LENGTH = ("mm", "in")
TURN = ("turn",)
FORCE = ("lbf", "N", "kgf")

Limits = tuple[float, float, str]
"""The least and the greatest value, both permitted, and why these: the rest of a sentence after "because"."""


def measure(
    units: tuple[str, ...],
    number: int,
    name: str,
    label: str,
    help: str = "",
    *,
    default: float,
    limits: Limits,
    step: float,
    default_from: str = MADE_UP,
    slider_high: float | None = None,
    role: Role = Role.OPTIONAL,
    scope: Scope = Scope.BOW,
    when: tuple[Condition, ...] = (),
    dated_by: str = "",
) -> NumberField:
    """A number; its default and limits are in the first of its units."""
    low, high, because = limits
    return NumberField(
        number=number,
        name=name,
        label=label,
        help=help,
        role=role,
        scope=scope,
        when=when,
        dated_by=dated_by,
        units=units,
        default=default,
        default_from=default_from,
        low=low,
        high=high,
        limits_because=because,
        step=step,
        slider_high=slider_high,
    )


length = partial(measure, LENGTH)
turns = partial(measure, TURN)
count = partial(measure, ("count",))
force = partial(measure, FORCE)
draw = partial(measure, ("in", "mm"))
"""A draw length, which the trade gives in inches."""

DRAWN = "that is the range of bows that people draw"
_STRUNG = "that is the range of strung take-down recurves"
brace_height = partial(measure, LENGTH, default=222.0, limits=(120.0, 320.0, _STRUNG), step=0.5)
string_to_limb = partial(measure, LENGTH, limits=(80.0, 320.0, _STRUNG), step=0.5)
draw_weight = partial(measure, FORCE, default=38.0, limits=(5.0, 120.0, DRAWN), step=0.5)
bolt_position = partial(
    measure,
    TURN,
    default=2.5,
    limits=(-5.0, 15.0, "no limb bolt goes farther on either side of zero"),
    step=0.25,
)
"""Turns out from zero; a minus is in."""


def choice(
    number: int,
    name: str,
    label: str,
    help: str,
    *options: Option,
    default: str = "",
    role: Role = Role.OPTIONAL,
    scope: Scope = Scope.BOW,
    when: tuple[Condition, ...] = (),
    linked: bool = True,
    dated_by: str = "",
) -> ChoiceField:
    """A question; the worked example takes the first of the answers where no other is named."""
    return ChoiceField(
        number=number,
        name=name,
        label=label,
        help=help,
        role=role,
        scope=scope,
        when=when,
        linked=linked,
        dated_by=dated_by,
        options=options,
        default=default or options[0].value,
    )


def text(number: int, name: str, label: str, help: str, *, max_length: int = 40, inert: str = "") -> TextField:
    """A few words of the reader's own."""
    return TextField(number=number, name=name, label=label, help=help, max_length=max_length, inert=inert)


def day(number: int, name: str, label: str, help: str = "", *, role: Role = Role.OPTIONAL) -> DateField:
    """A day of the calendar."""
    return DateField(
        number=number, name=name, label=label, help=help, role=role, default=days.EXAMPLE, default_from=MADE_UP
    )


def pair(upper: NumberField, *, lower: float | None = None, shift: int = 20) -> tuple[NumberField, NumberField]:
    """The upper bolt's or limb's number and the lower one's, which has the same of everything but its name.

    Args:
        upper: the upper one's.
        lower: the default of the lower one, where it is another.
        shift: how much larger the number of the lower one's field is.
    """
    default = upper.default if lower is None else lower
    return upper, replace(
        upper, number=upper.number + shift, name=_lower(upper.name), label=_lower(upper.label), default=default
    )


def choice_pair(upper: ChoiceField) -> tuple[ChoiceField, ChoiceField]:
    """The question about the upper bolt and the same about the lower one."""
    return upper, replace(upper, number=upper.number + 20, name=_lower(upper.name), label=_lower(upper.label))


def _lower(text: str) -> str:
    return text.replace("upper", "lower").replace("Upper", "Lower")
