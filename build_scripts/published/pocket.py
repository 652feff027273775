"""Cases of the pocket, worked out apart from the package at 40 digits (sources.md F)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from published import Row, Table
from quarterturn.mechanics import bolt_load, feeler
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.contact import Contact
from quarterturn.mechanics.pocket import ContactState, Pocket
from quarterturn.units import INCH

if TYPE_CHECKING:
    from collections.abc import Callable

MM = 1e-3
PITCH = INCH / 24
"""Of a 3/8-24."""
STRIP = 0.1 * MM
MOMENT = 92.0
"""Of the string about the fulcrum, N m."""


@dataclass(frozen=True, slots=True)
class Case:
    """One case as printed: text, so that the printed digits are what is compared; None where there is no such number.

    Attributes:
        pocket: the lengths of it.
        turns: out from flush.
        state: where the limb bears.
        angle: how far the limb has rocked, rad.
        contact_x: where it bears along x, mm.
        coverage: of the bolt by the butt, mm.
        touch: first touch, turns.
        seen_outside: where the strip stops outside flush, turns.
        force: on the head, N.
        bending: of the shank under the head, N m.
    """

    pocket: Pocket
    turns: float
    state: ContactState
    angle: str
    contact_x: str | None
    coverage: str
    touch: str | None
    seen_outside: str | None
    force: str
    bending: str


def shape(a: float, t: float, b: float, angle: float) -> Pocket:
    """A pocket of the cases: a, t and b in mm, the largest rock angle in rad; R, w and the pitch are all one."""
    return Pocket(a * MM, t * MM, b * MM, 9.5 * MM, 5.1 * MM, PITCH, angle)


DEFAULT = shape(60, 8, 67, 0.08)
CASES = (
    Case(
        *(DEFAULT, -1, ContactState.RIM, "-0.0203875942", "8.014986", "7.149166"),
        *("5.0349904", "0.422997", "1774.9414", "14.22317"),
    ),
    Case(
        *(DEFAULT, 1, ContactState.BUTT, "0.0158116042", "-6.865137", "6.865137"),
        *("5.0349904", "0.422997", "1375.9039", "-9.445769"),
    ),
    Case(
        *(DEFAULT, 6, ContactState.OUT_OF_REACH, "0.08", "-6.146397", "6.146397"),
        *("5.0349904", "0.422997", "0", "0"),
    ),
    Case(
        *(shape(60, 8, 68.8, 0.08), 0.2, ContactState.EDGE, "0.00311147985", "-8.014986", "8.774775"),
        *("5.1709083", "0.4010594", "1352.1417", "-10.83734"),
    ),
    Case(
        *(shape(60, 10, 60.3, 0.08), 0, ContactState.FLUSH, "0", "2.961434", "0.3"),
        *("4.5230297", "0.695064", "1612.9438", "4.776627"),
    ),
    Case(
        *(shape(60, 12, 52.3, 0.12), 1.5, ContactState.OFF_HEAD, "0.12", None, "-9.512655"),
        *(None, None, "0", "0"),
    ),
)


def _contact(case: Case) -> Contact:
    return contacts.contact(case.pocket, case.turns)


def _contact_x(case: Case) -> float:
    found = _contact(case).contact_x
    return float("nan") if found is None else found / MM


def _touch(case: Case) -> float:
    found = contacts.first_touch(case.pocket)
    return float("nan") if found is None else found


_NUMBERS: tuple[tuple[str, str, str, Callable[[Case], float]], ...] = (
    ("rock angle", "rad", "angle", lambda case: _contact(case).rock_angle),
    ("place of contact along x", "mm", "contact_x", _contact_x),
    ("coverage", "mm", "coverage", lambda case: _contact(case).coverage / MM),
    ("first touch", "turns", "touch", _touch),
    (
        "strip stops outside flush",
        "turns",
        "seen_outside",
        lambda case: feeler.flush_seen_from_outside(case.pocket, STRIP),
    ),
    ("force on the head", "N", "force", lambda case: bolt_load.bearing(case.pocket, case.turns, MOMENT).force),
    ("bending of the shank", "N·m", "bending", lambda case: bolt_load.bearing(case.pocket, case.turns, MOMENT).bending),
)
_WORDS = {
    ContactState.RIM: "Only the rim bears",
    ContactState.BUTT: "The butt end bears",
    ContactState.OUT_OF_REACH: "Out of reach",
    ContactState.EDGE: "The head's edge bears on the back",
    ContactState.FLUSH: "Flush",
    ContactState.OFF_HEAD: "Off the head",
}


def _lengths(case: Case) -> str:
    """The lengths that tell one pocket of the cases from another."""
    a, t, b = (
        f"{length / MM:g}" for length in (case.pocket.fulcrum_arm, case.pocket.limb_depth, case.pocket.butt_length)
    )
    return f"a {a}, t {t}, b {b} mm, φₛ {case.pocket.fitting_angle:g}"


def _where(turns: float) -> str:
    """How far out or past flush, in words."""
    side = "out" if turns > 0 else "past flush"
    return f"{abs(turns):g} turn{'' if abs(turns) == 1 else 's'} {side}" if turns else "no turns"


def _rows(case: Case) -> list[Row]:
    group = f"{_WORDS[case.state]}: {_where(case.turns)}, {_lengths(case)}"
    table = Table(group, "a turned polygon, 40 digits", "C", "")
    return [
        table.row(what, printed, partial(ask, case), unit=unit)
        for what, unit, name, ask in _NUMBERS
        if (printed := getattr(case, name)) is not None
    ]


ROWS: tuple[Row, ...] = tuple(row for case in CASES for row in _rows(case))
