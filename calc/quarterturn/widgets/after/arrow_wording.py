"""An arrow's mass, its spine and the least mass in words and in the reader's units."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.arrows import MassJudgement
from quarterturn.numbers import fixed, fixed_down, fixed_up, trimmed
from quarterturn.record.values import Values
from quarterturn.widgets import bow_wording
from quarterturn.widgets.after.inputs import BowChange

LOOK_UP = "Only the limb maker can say how light an arrow may be: look it up before you shoot."


def mass_unit(values: Values) -> str:
    """The unit that the reader weighs arrows in: as typed, else grains or what the site begins with."""
    return _typed(values, "arrow_mass", values.starting_unit("arrow_mass"))


def ratio_unit(values: Values) -> str:
    """The unit of an arrow's mass for the draw weight: as typed, else what the site begins with."""
    return _typed(values, "least_mass_per_pound", values.starting_unit("least_mass_per_pound"))


def ratio_name(values: Values) -> str:
    """What an arrow's mass for the draw weight is called in that unit."""
    return "Grains per pound" if ratio_unit(values) == "gr/lbf" else "Grams per newton"


def spine_unit(values: Values) -> str:
    """The unit of spine: as typed, else thousandths of an inch."""
    return _typed(values, "arrow_spine", "thou")


def _typed(values: Values, name: str, otherwise: str) -> str:
    entry = values.record.entries.get(name)
    return otherwise if entry is None or not values.entered(name) else entry.unit or otherwise


def mass(value: float, unit: str) -> str:
    """A mass: whole grains, or tenths of a gram."""
    return f"{fixed(units.from_si(value, unit), _places(unit))} {units.unit(unit).symbol}"


def needed(value: float, unit: str) -> str:
    """A mass that is wanted at least: rounded up, so that rounding never permits less."""
    return f"{fixed_up(units.from_si(value, unit), _places(unit))} {units.unit(unit).symbol}"


def spare(value: float, unit: str) -> str:
    """By how much an arrow is heavier or lighter than that, without a sign."""
    return f"{fixed(abs(units.from_si(value, unit)), _places(unit))} {units.unit(unit).symbol}"


def heaviest(value: float, unit: str) -> str:
    """A draw weight that is permitted at most: rounded down."""
    return f"{fixed_down(units.from_si(value, unit), 1)} {units.unit(unit).symbol}"


def _places(unit: str) -> int:
    return 0 if unit == "gr" else 1


def ratio(value: float, unit: str, decimals: int | None = None) -> str:
    """An arrow's mass for the draw weight."""
    places = (1 if unit == "gr/lbf" else 3) if decimals is None else decimals
    return f"{fixed(units.from_si(value, unit), places)} {units.unit(unit).symbol}"


def finely(value: float, unit: str) -> str:
    """The same with a digit more."""
    return ratio(value, unit, 2 if unit == "gr/lbf" else 4)


def spine(value: float, unit: str) -> str:
    """Static spine, as it is written on a shaft."""
    return f"{fixed(units.from_si(value, unit), 0 if unit == 'thou' else 2)} {units.unit(unit).symbol}"


def percent(part: float) -> str:
    """A change as a part, with its sign."""
    return bow_wording.signed(f"{fixed(100 * part, 1)} %")


def least_by(shown: BowChange) -> str:
    """Whose the least mass is, for the middle of a sentence."""
    return "the limb maker's minimum" if shown.by_maker else "the published general figure"


def bound(shown: BowChange) -> str:
    """What the least mass means, for the beginning of a sentence: the general one permits nothing."""
    return "Limb maker's minimum mass" if shown.by_maker else "Lighter than this is certainly too light"


def bound_for_weight(shown: BowChange) -> str:
    """The same for the reader's draw weight."""
    if shown.by_maker:
        return "Limb maker's minimum mass, for your weight"
    return "For your weight, certainly too light below"


def over(shown: BowChange) -> str:
    """What the draw weight means that goes with it."""
    if shown.by_maker:
        return "Heaviest draw weight for this arrow"
    return "Above this it is certainly too light"


def ratio_down(value: float, unit: str) -> str:
    """An arrow's mass for the draw weight, rounded down."""
    return f"{fixed_down(units.from_si(value, unit), 1 if unit == 'gr/lbf' else 3)} {units.unit(unit).symbol}"


def least(shown: BowChange) -> str:
    """The least mass for the draw weight, as it was typed."""
    unit = ratio_unit(shown.values)
    return f"{trimmed(units.from_si(shown.least, unit), 2 if unit == 'gr/lbf' else 4)} {units.unit(unit).symbol}"


def what_is_wrong(shown: BowChange) -> str:
    """Why an arrow is too light or too near to it; "" without an arrow."""
    found = shown.held
    if found is None:
        return ""
    unit = mass_unit(shown.values)
    if found.judged is MassJudgement.LIGHT:
        return f"Do not shoot it from this bow. It is {spare(found.spare, unit)} lighter than {least_by(shown)}."
    weight = bow_wording.force(found.heaviest, bow_wording.force_unit(shown.values))
    return (
        f"Do not shoot it until you have asked the limb maker. The draw weight may be as much as {weight}, and for "
        f"that it is too light by {least_by(shown)}."
    )
