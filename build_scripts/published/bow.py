"""Bent limbs, a bow without recurve and the default bow: published or computed another way (sources.md A and B).

The numbers of `COMPANY` are another matter: four bows as measured, which the default bow is like and is not.
"""

from __future__ import annotations

import math
from functools import lru_cache, partial
from typing import TYPE_CHECKING

from published import Row, Table
from quarterturn.mechanics.bow import Bow, BowString, BracedBow, DrawnBow, Side
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.continuation import curve, drawn
from quarterturn.mechanics.equilibrium import braced
from quarterturn.mechanics.limb import Limb, StepCounts, integrate
from quarterturn.mechanics.pocket import Pocket
from quarterturn.units import INCH, POUND, STANDARD_GRAVITY

if TYPE_CHECKING:
    from collections.abc import Callable

MM = 1e-3
CM = 1e-2
LBF = POUND * STANDARD_GRAVITY
FINE = StepCounts(400, 1)
"""Of straight limbs: their rounding is less than the last digit printed."""
FINE_RECURVE = StepCounts(240, 160)
TAPE = 1.75 * INCH
"""A draw length on a tape is this much more than from the pivot point (AMO standard, S2)."""


# A cantilever with a dead load across its tip


@lru_cache(maxsize=16)
def cantilever(load: float) -> tuple[float, float, float]:
    """Tip deflection, shortening (both over the length) and tip angle at PL²/EI = load.

    The string is the load: it pulls at a right angle to the limb's root, so that ψ there is a right angle.
    """
    limb = Limb(1.0, 1.0, 0.0, 0.0, 0.0, 1.0)
    tip = math.pi / 2 * (2 - math.exp(-load / 3))  # near enough for Newton's rule
    for _ in range(30):
        along, across, angle, *_, angle_by_tip = integrate(limb, FINE, load, tip)
        step = (math.pi / 2 - angle) / angle_by_tip
        tip += step
        if abs(step) < 1e-13:
            break
    return -along, 1 - across, tip - math.pi / 2


_DEFLECTED = (
    ("0.2", "0.06636", "0.00265", "0.09964", "0.06636448214", "0.002646548341", "0.09963616304", ""),
    ("0.6", "0.19235", "0.02249", "0.29074", "0.1923502797", "0.02248766798", "0.2907377668", ""),
    ("1", "0.30172", "0.05643", "0.46135", "0.3017207738", "0.05643323628", "0.4613519497", "3 places"),
    ("2", "0.49346", "0.16064", "0.78175", "0.4934574804", "0.1606417208", "0.7817498316", "2 places"),
    ("5", "0.71379", "0.38763", "1.21537", "0.7137915236", "0.3876283607", "1.215368118", "all places"),
    ("10", "0.81061", "0.55500", "1.43029", "0.8106090249", "0.5549955978", "1.430285539", "2 places"),
)
_WHAT_DEFLECTS = (("deflection w/L", ""), ("shortening u/L", ""), ("tip angle", "rad"))


def _cantilevers() -> list[Row]:
    source = "Bisshopp and Drucker 1945; Mattiasson 1981, Table 1"
    printed = Table("Cantilever, dead load across its tip", source, "M", "")
    exact = Table("The same by elliptic integrals", "the same formula, 25 digits", "C", "")
    rows, again = [], []
    for load, *numbers, quoted in _DEFLECTED:
        for place, (what, unit) in enumerate(_WHAT_DEFLECTS):
            ask = partial(_picked, cantilever, float(load), place)
            name = f"PL²/EI = {load}, {what}"
            mark = "S2" if quoted == "all places" else "M"
            remark = f"Seen quoted to {quoted}." if quoted and mark == "M" else ""
            rows.append(printed.row(name, numbers[place], ask, unit=unit, mark=mark, remark=remark))
            again.append(exact.row(name, numbers[place + 3], ask, unit=unit))
    return [*rows, *again]


def _picked(function: Callable[[float], tuple[float, ...]], argument: float, place: int) -> float:
    return function(argument)[place]


# A bow with straight uniform limbs

_GRIP, _STRAIGHT, _HALF = 1 / 7, 8 / 7, 1.26058477581
_BRACE = 3 / 14


@lru_cache(maxsize=1)
def _straight() -> tuple[BracedBow, tuple[DrawnBow, ...]]:
    side = Side(Limb(_STRAIGHT, 1.0, 0.0, 0.0, 0.0, _STRAIGHT), 0.0, _GRIP, 0.0)
    bow = Bow(side, side, BowString(_HALF, _HALF))
    strung = braced(bow, (0.0, 0.0), steps=FINE)
    draws = [_BRACE + (1 - _BRACE) * place / 8 for place in range(1, 9)]
    return strung, curve(bow, (0.0, 0.0), draws, steps=FINE, start=strung)


def _straight_force(place: int) -> float:
    return _straight()[1][place].force


def _straight_energy(place: int) -> float:
    strung, pulled = _straight()
    return pulled[place].energy - strung.energy


def _straight_at_full(pick: Callable[[DrawnBow], float]) -> float:
    return pick(_straight()[1][-1])


def _tip_angle(drawn: DrawnBow) -> float:
    return drawn.upper.bent.tip + drawn.upper.string_angle


_DRAWS = (
    ("0.3125", "0.2048581567", "0.01118999228"),
    ("0.4107142857", "0.3340768553", "0.03793137108"),
    ("0.5089285714", "0.4443846056", "0.07622646357"),
    ("0.6071428571", "0.5512933508", "0.1251182602"),
    ("0.7053571429", "0.6607801715", "0.1846030087"),
    ("0.8035714286", "0.7762204309", "0.2551098432"),
    ("0.9017857143", "0.9003531726", "0.3373592962"),
    ("1", "1.036033640", "0.4323423687"),
)


def _straight_bow() -> list[Row]:
    table = Table(
        "Bow with straight limbs: grip 1/7, limb 8/7, EI 1, draw 1", "elliptic integrals and shooting", "C", ""
    )
    rows = [
        table.row("braced, tension", "1.910133299", lambda: _straight()[0].tension),
        table.row("braced, brace height (3/14)", "0.2142857143", lambda: _straight()[0].brace_height),
    ]
    for place, (draw, force, _) in enumerate(_DRAWS):
        rows.append(table.row(f"force at {draw}", force, partial(_straight_force, place)))
    for place, (draw, _, energy) in enumerate(_DRAWS):
        cut_off = energy == "0.01118999228"
        remark = "The digits given look cut off, not rounded." if cut_off else ""
        ask = partial(_straight_energy, place)
        rows.append(table.row(f"energy at {draw}", energy, ask, places=1 if cut_off else 0.5, remark=remark))
    at_full: tuple[tuple[str, str, str, Callable[[DrawnBow], float]], ...] = (
        ("tension", "1.268720655", "", lambda drawn: drawn.upper.tension),
        ("string angle", "0.4205894067", "rad", lambda drawn: -drawn.upper.string_angle),
        ("tip angle", "0.6838495462", "rad", _tip_angle),
    )
    for what, printed, unit, pick in at_full:
        rows.append(table.row(f"drawn to 1, {what}", printed, partial(_straight_at_full, pick), unit=unit))
    quality = table.row("energy over force times draw", "0.41730534", lambda: _straight_energy(7) / _straight_force(7))
    return [*rows, quality]


# The default bow (made up)

DEFAULT_POCKET = Pocket(0.060, 0.008, 0.067, 0.0095, 0.0051, INCH / 24, 0.080)
DEFAULT_TURNS = 2.0


def default_side(stiffness: float, fulcrum_y: float) -> Side:
    """One side of the default bow of the definition."""
    limb = Limb(0.535, stiffness, 0.5, 0.2, -7.0, 0.365)
    return Side(limb, 0.045, fulcrum_y, 0.030, 0.008, 0.030, 0.008)


DEFAULT_BOW = Bow(default_side(33.37, 0.315), default_side(34.281, 0.295), BowString(0.7879, 0.8579))


def default_rock(upper: float = DEFAULT_TURNS, lower: float = DEFAULT_TURNS) -> tuple[float, float]:
    """The limbs' rock angles with the bolts so many turns out, rad."""
    return rock_angle(DEFAULT_POCKET, upper), rock_angle(DEFAULT_POCKET, lower)


_INCHES = (14, 18, 22, 26, 28, 30)


@lru_cache(maxsize=1)
def _default() -> tuple[BracedBow, tuple[DrawnBow, ...]]:
    rock = default_rock()
    strung = braced(DEFAULT_BOW, rock, steps=FINE_RECURVE)
    draws = [inches * INCH - TAPE for inches in _INCHES]
    return strung, curve(DEFAULT_BOW, rock, draws, steps=FINE_RECURVE, start=strung)


def _strung(pick: Callable[[BracedBow], float]) -> float:
    return pick(_default()[0])


def _pulled(place: int, pick: Callable[[DrawnBow], float]) -> float:
    return pick(_default()[1][place])


@lru_cache(maxsize=4)
def _turned(upper: float, lower: float) -> tuple[BracedBow, DrawnBow]:
    """The bow strung, and drawn to 28 in, with its bolts there."""
    strung, pulled = _default()
    rock = default_rock(upper, lower)
    return (
        braced(DEFAULT_BOW, rock, steps=FINE_RECURVE, start=strung),
        drawn(DEFAULT_BOW, rock, pulled[4].draw, steps=FINE_RECURVE, start=pulled[4]),
    )


def _changed(upper: float, lower: float, name: str, unit: float) -> float:
    """What changes at 28 in from both bolts two turns out."""
    before, after = (_default()[0], _default()[1][4]), _turned(upper, lower)
    which = int(name == "force")
    return float(getattr(after[which], name) - getattr(before[which], name)) / unit


_STRUNG: tuple[tuple[str, str, str, Callable[[BracedBow], float]], ...] = (
    ("brace height", "221.958", "mm", lambda found: found.brace_height / MM),
    ("brace tension", "302.987", "N", lambda found: found.tension),
    ("string to the upper limb's back", "187.011", "mm", lambda found: found.upper.distance_to_back / MM),
    ("string to the lower limb's back", "183.007", "mm", lambda found: found.lower.distance_to_back / MM),
    ("tiller", "4.004", "mm", lambda found: found.tiller / MM),
    ("string to the upper limb's belly", "179.0", "mm", lambda found: found.upper.distance_to_belly / MM),
    ("string to the lower limb's belly", "175.0", "mm", lambda found: found.lower.distance_to_belly / MM),
)
_FORCES = ("11.6148", "20.1527", "26.7715", "33.9148", "37.9975", "42.5939")
_TURNED = (
    ("the upper bolt", 1.0, 2.0, ("0.4207", "-0.783", "-4.665")),
    ("the lower bolt", 2.0, 1.0, ("0.4445", "-1.080", "5.008")),
    ("both bolts", 1.0, 1.0, ("0.8648", "-1.812", "0.360")),
)
_CHANGES = (
    ("force", "draw weight", "lbf", LBF),
    ("brace_height", "brace height", "mm", MM),
    ("tiller", "tiller", "mm", MM),
)


def _default_bow() -> list[Row]:
    source = "two independent solutions, made-up bow"
    table = Table("The default bow, both bolts two turns out", source, "C", "mm")
    rows = [table.row(what, printed, partial(_strung, pick), unit=unit) for what, printed, unit, pick in _STRUNG]
    for place, (inches, printed) in enumerate(zip(_INCHES, _FORCES, strict=True)):
        ask = partial(_pulled, place, lambda found: found.force / LBF)
        rows.append(table.row(f"draw force at {inches} in", printed, ask, unit="lbf"))
    moments: tuple[tuple[str, str, Callable[[DrawnBow], float]], ...] = (
        ("upper", "91.694", lambda found: found.upper.moment),
        ("lower", "93.841", lambda found: found.lower.moment),
    )
    for name, printed, pick in moments:
        rows.append(
            table.row(f"moment about the {name} fulcrum at 28 in", printed, partial(_pulled, 4, pick), unit="N·m")
        )
    turned = Table("The default bow, one turn in", source, "C", "mm")
    for who, upper, lower, numbers in _TURNED:
        for printed, (name, what, unit, size) in zip(numbers, _CHANGES, strict=True):
            rows.append(turned.row(f"{who}, {what}", printed, partial(_changed, upper, lower, name, size), unit=unit))
    return rows


# The default bow in the company of measured ones

COMPANY_SHARE = 0.08
"""How far off the default bow's energy may be, as a part of the measured one: a bow with straight limbs is farther."""
COMPANY_BRACE = 0.6  # cm

# Bow, draw from brace height in cm, weight there in N, brace height in cm and what the source says of it, energy in J,
# that over weight times draw, over weight times brace height and draw. The last two are worked out of the others.
_MEASURED_BOWS = (
    ("68 in, 38.5 lb", "43.0", "170.5", "21.9", "The source says 21.8 to 22 cm. ", "42.6", "0.581", "0.385"),
    ("70 in, 34 lb", "50.9", "170", "21.9", "", "50.3", "0.581", "0.406"),
    ("66 in, 40 lb", "44.0", "178", "", "", "45.6", "0.582", ""),
    ("68 in, 30 lb", "42.9", "130", "21.7", "The source says 21.4 to 22 cm. ", "33.2", "0.595", "0.395"),
)


def _brace_height() -> float:
    return _strung(lambda found: found.brace_height) / CM


@lru_cache(maxsize=4)
def _energy_over_weight(drawn_by: float) -> float:
    """Stored energy over the weight there of the default bow, drawn so far from brace height (both cm), J/N."""
    strung = _default()[0]
    draw = strung.brace_height + drawn_by * CM
    full = drawn(DEFAULT_BOW, default_rock(), draw, steps=FINE_RECURVE, start=strung)
    return (full.energy - strung.energy) / full.force


def _as_strong(drawn_by: float, weight: float) -> float:
    """Energy of the default bow with limbs so stiff that it holds that weight there, J: both go with stiffness."""
    return _energy_over_weight(drawn_by) * weight


def _over_draw(drawn_by: float) -> float:
    return _energy_over_weight(drawn_by) / (drawn_by * CM)


def _over_whole_draw(drawn_by: float) -> float:
    return _energy_over_weight(drawn_by) / ((_brace_height() + drawn_by) * CM)


def _company() -> list[Row]:
    source = "Tuyn and Kooi 1992, Table I"
    brace = Table("Brace height", source, "S", "cm")
    energy = Table("Stored energy", source, "S", "J")
    by_draw = Table("Energy over weight times draw from brace height", f"worked out of {source}", "C", "")
    by_whole = Table("Energy over weight times draw from the grip", by_draw.source, "C", "")
    heights, energies, draws, wholes = [], [], [], []
    for bow, by, weight, height, said, stored, over_draw, over_whole in _MEASURED_BOWS:
        far = float(by)
        if height:
            places, remark = _places(height, COMPANY_BRACE), f"{said}Company: {COMPANY_BRACE:g} cm are allowed."
            heights.append(brace.row(bow, height, _brace_height, places=places, remark=remark))
        name = f"{bow}: {weight} N, {by} cm from brace height"
        energies.append(_share(energy, name, stored, partial(_as_strong, far, float(weight))))
        draws.append(_share(by_draw, bow, over_draw, partial(_over_draw, far)))
        if over_whole:
            wholes.append(_share(by_whole, bow, over_whole, partial(_over_whole_draw, far)))
    return [*heights, *energies, *draws, *wholes]


def _share(table: Table, what: str, printed: str, computed: Callable[[], float]) -> Row:
    places = _places(printed, COMPANY_SHARE * float(printed))
    remark = f"Company: {100 * COMPANY_SHARE:g} in 100 are allowed."
    return table.row(what, printed, computed, places=places, remark=remark)


def _places(printed: str, allowed: float) -> float:
    """A tolerance in units of the last place printed, to whole ones."""
    return float(round(allowed * 10 ** len(printed.partition(".")[2])))


ROWS: tuple[Row, ...] = (*_cantilevers(), *_straight_bow(), *_default_bow())
"""All that are to agree to their last digit, in the order they are shown."""
COMPANY: tuple[Row, ...] = tuple(_company())
"""Four bows as measured beside the default bow: of its kind, not the same bow."""
