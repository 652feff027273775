"""The named values of the force-draw curve: now, after the turn, how it rises, the moments of the string."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.draw_curve import rise
from quarterturn.bench.draw_length import MARKED_DRAW
from quarterturn.bench.force_draw import against_mark
from quarterturn.bench.outcomes import outcome
from quarterturn.numbers import at_most, fixed
from quarterturn.units import INCH
from quarterturn.widgets import bow_wording
from quarterturn.widgets.answer import Value, ValueList
from quarterturn.widgets.draw_weight import stacking, wording
from quarterturn.widgets.draw_weight.inputs import Curves, read_energy, read_rise

COMPANY = "four target bows measured in 1992: 0.58 to 0.60"
"""Tuyn and Kooi 1992, Table I (S): energy over force times the draw from brace height."""
COMPANY_WHOLE = "the same four bows: 0.385 to 0.406, for the three whose brace height is given"
"""And over force times the draw from the grip (C, from the same table)."""


def _force(
    name: str,
    label: str,
    value: float,
    found: Curves,
    *,
    uncertainty: float | None = None,
    sign: bool = False,
    note: str = "",
) -> Value:
    """A force, with two decimals of a pound where it is a small difference; `uncertainty` is standard, N."""
    unit = wording.force_unit(found)
    text = bow_wording.force(value, unit, 2 if sign else 1)
    if sign:
        text = bow_wording.signed(text)
    return _value(name, label, value, unit, text, found, uncertainty=uncertainty, decimals=2 if sign else 1, note=note)


def _value(
    name: str,
    label: str,
    value: float,
    unit: str,
    text: str,
    found: Curves,
    *,
    uncertainty: float | None = None,
    decimals: int = 1,
    note: str = "",
) -> Value:
    """A value in SI, shown as this text with twice its uncertainty after it."""
    if uncertainty is not None:
        number, _, symbol = text.partition(" ")
        text = f"{number} ± {fixed(units.from_si(2 * uncertainty, unit), decimals)} {symbol}"
    return Value(
        name,
        label,
        units.from_si(value, unit),
        unit,
        text,
        found.prediction.status,
        uncertainty=None if uncertainty is None else units.from_si(uncertainty, unit),
        note=note,
    )


def as_it_is(found: Curves) -> ValueList:
    """What the curve tells at the reader's draw length and about it."""
    now, own = found.now, found.own
    force, energy, quality = found.prediction.now.drawn.force, now.energy(own), now.quality(own)
    listed = [
        _force(
            *("weight", f"Draw weight at {bow_wording.own_draw(found.values)}", force, found),
            uncertainty=_uncertainty(found),
            note="after ±: about 95 % (U = 2u, GUM)",
        ),
        *_an_inch(found),
        _value(
            *("energy", "Energy stored up to there", energy, "J", wording.energy(energy), found),
            uncertainty=found.energy_uncertainty,
            note="; ".join(filter(None, (wording.foot_pounds(energy, found), "after ±: at most"))),
        ),
        _quality("quality", "Energy over weight times stroke", quality.of_stroke, COMPANY, found),
        _quality("quality_whole", "Energy over weight times whole draw", quality.of_draw, COMPANY_WHOLE, found),
        *_at_28(found),
    ]
    return ValueList("now", "Now", tuple(listed))


def _uncertainty(found: Curves) -> float | None:
    """How sure the weight is at the reader's draw length, as the bow stands."""
    if not found.prediction.moved:
        return found.uncertainty(found.own)
    try:
        return found.prediction.sure("weight").combined
    except FitError:
        return None


def _quality(name: str, label: str, value: float, company: str, found: Curves) -> Value:
    return Value(name, label, value, "count", fixed(value, 3), found.prediction.status, note=company)


def _an_inch(found: Curves) -> list[Value]:
    """What an inch more of draw adds and an inch less takes away, as far as the curve goes."""
    listed = []
    for name, label, by in (
        ("inch_more", "An inch more of draw", INCH),
        ("inch_less", "An inch less of draw", -INCH),
    ):
        if found.reaches(found.own + by):
            change = found.now.force(found.own + by) - found.now.force(found.own)
            listed.append(_force(name, label, change, found, sign=True, note=_beyond(found.own + by, found)))
    return listed


def _beyond(draw: float, found: Curves) -> str:
    """A word about what lies farther than was weighed, and than this reader draws; "" for the rest."""
    weighed = max(found.own, *(one.draw for one in found.prediction.bow.setup.weighings))
    return "" if at_most(draw, weighed) else "computed, farther than was weighed: do not try it"


def _at_28(found: Curves) -> list[Value]:
    """The weight at 28 in AMO, and what it is more or less than the mark on the limbs."""
    if not found.reaches(MARKED_DRAW):
        return []
    force = found.now.force(MARKED_DRAW)
    listed = [
        _force(
            *("weight_28", "Draw weight at 28 in AMO", force, found),
            uncertainty=found.uncertainty(MARKED_DRAW),
            note=_beyond(MARKED_DRAW, found),
        ),
    ]
    marked = found.values.optional("marked_weight")
    if marked is None:
        return listed
    difference = against_mark(marked, found.now)
    value = _force(
        *("marked_difference", "Against the mark on the limbs", difference, found),
        uncertainty=found.uncertainty(MARKED_DRAW),
        sign=True,
        note=f"{bow_wording.signed(f'{fixed(100 * (difference / marked), 0)} %')}; the mark is for one riser length "
        "and one setting of the bolts, which its maker took (common practice, no source)",
    )
    return [*listed, value]


def foretold(found: Curves) -> ValueList | None:
    """What the turn makes of weight and energy, with how sure that is; nothing where nothing is foretold."""
    prediction = found.prediction
    if prediction.then is None or not prediction.turned:
        return None
    now, there = prediction.now.drawn.force, prediction.then.drawn.force
    whole = prediction.sure("weight", then=True).combined
    alone = prediction.uncertainty.budget_of("weight", prediction.change, whole=False).combined
    part = f"{bow_wording.signed(f'{fixed(100 * (there / now - 1), 2)} %')} of the weight now"
    listed = [
        _force("weight_then", "Draw weight then", there, found, uncertainty=whole),
        _force("weight_change", "Change of draw weight", there - now, found, uncertainty=alone, sign=True, note=part),
    ]
    if found.then is not None:
        stored = found.then.energy(found.own)
        text = wording.energy(stored)
        note = wording.foot_pounds(stored, found)
        listed.append(_value("energy_then", "Energy stored then", stored, "J", text, found, note=note))
    return ValueList("then", f"Predicted: {bow_wording.both_moved(prediction.change)}", tuple(listed))


def rising(found: Curves) -> ValueList:
    """How the weight rises at the reader's draw length, and whether it stacks."""
    risen, read, unit = rise(found.prediction.bow, found.now), read_rise(found), wording.slope_unit(found)
    listed = [
        _value(
            *("slope", "Rise of the weight there", risen.slope, unit, wording.slope(risen.slope, found)),
            found,
            uncertainty=risen.uncertainty,
            decimals=2,
        ),
        Value(
            *("stacks", "Does it stack?", None, "", stacking.stacks(risen, read), found.prediction.status),
            note=f"{stacking.why_stacks(risen, read, found)}. To stack: to rise more steeply at full draw than the "
            "straight line from the strung bow to there (our own measure, no source)",
        ),
    ]
    return ValueList("rise", "Toward full draw", tuple(listed))


def by_readings(found: Curves) -> ValueList | None:
    """What the reader's readings tell without any bow computed; nothing where there are too few."""
    energy, slope, unit = read_energy(found), read_rise(found), wording.slope_unit(found)
    listed = []
    if energy is not None:
        there = wording.energy(found.base.energy(energy.draw))
        listed.append(
            _value(
                "read_energy",
                f"Energy up to {wording.draw(energy.draw, found)}, by your readings",
                energy.energy,
                "J",
                wording.energy(energy.energy),
                found,
                note=f"straight lines through {energy.count} draw lengths; the curve has {there} there",
            )
        )
    if slope is not None:
        span = wording.draw_span(slope.measured.span, found)
        listed.append(
            _value(
                "read_slope",
                "Rise of the weight, by your readings",
                slope.measured.slope,
                unit,
                wording.slope(slope.measured.slope, found),
                found,
                uncertainty=slope.uncertainty,
                decimals=2,
                note=f"{slope.measured.count} readings over the last {span}",
            )
        )
    return ValueList("read", "By your readings alone", tuple(listed)) if listed else None


def moments(found: Curves) -> ValueList:
    """What the drawn string does about each limb's fulcrum."""
    now, uncertainties = outcome(found.prediction.now), found.prediction.uncertainty
    listed = []
    for name, label in (("upper_moment", "Upper limb"), ("lower_moment", "Lower limb")):
        value = getattr(now, name)
        uncertainty = uncertainties.budget_of(name, (0.0, 0.0), whole=True).combined
        text = f"{fixed(value, 1)} N·m"
        listed.append(
            _value(name, f"{label}: moment of the string", value, "N m", text, found, uncertainty=uncertainty)
        )
    return ValueList("moments", "About each limb's fulcrum, drawn so far", tuple(listed), folded=True)
