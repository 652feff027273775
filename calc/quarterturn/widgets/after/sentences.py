"""What the page for after the change says."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.arrows import MassCheck, MassJudgement
from quarterturn.numbers import fixed, fixed_down, fixed_up, trimmed
from quarterturn.record.values import Values
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import words
from quarterturn.widgets.after.asked import After
from quarterturn.widgets.answer import Points

DRY = (
    "A light arrow leaves the bow with too much of its own energy, as a dry-fire does. Limbs, riser or string can "
    "break."
)
CAUTIONS = (
    *words.CAUTIONS,
    f"Never shoot an arrow that is lighter than the limb maker permits. {DRY}",
    "A limb bolt is positioned, never torqued: where it stands is what counts, and its lock keeps it there.",
)
LOOK_UP = "How light an arrow may be for your limbs, only their maker can say: look it up before you shoot."
ASK = (
    "Tiller, brace height or draw weight is not as foretold, and still is not when you have counted the turns and "
    "measured again.",
    "A bolt or its lock does not stay where you put it, or the bow makes a sound that it did not make before.",
    "The string does not lie along the middle of both limbs, or a limb shows a line, a lifted edge or a twist: string "
    "off, and do not shoot.",
    "You cannot hold the bow steady at full draw, or it hurts: it is too heavy for you.",
    "Arrows still fly badly with brace height, nocking point and plunger set: a coach sees what no page can.",
    "You do not know how light an arrow the limb maker permits.",
)
"""When to see a coach or a technician."""


def by_log(shown: After) -> Points | None:
    """Say that the turn is the one of the log; None where it is not."""
    if not shown.by_log:
        return None
    turn = f"The turn is the one of your log, since the worksheet: {said.both_moved(shown.about.change)}."
    read = " What you read after it counts in place of what is foretold." if shown.since else ""
    return Points("by-log", "The turn that you made", (f"{turn}{read} Move a slider to look at another.",))


def mass_unit(values: Values) -> str:
    """The unit that the reader weighs arrows in: as typed, else grains."""
    return _typed(values, "arrow_mass", "gr")


def ratio_unit(values: Values) -> str:
    """The unit of an arrow's mass for the draw weight: as typed, else the trade's."""
    return _typed(values, "least_mass_per_pound", "gr/lbf")


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
    """Static spine, as it stands on a shaft."""
    return f"{fixed(units.from_si(value, unit), 0 if unit == 'thou' else 2)} {units.unit(unit).symbol}"


def percent(part: float) -> str:
    """A change as a part, with its sign."""
    return said.signed(f"{fixed(100 * part, 1)} %")


def least_by(shown: After) -> str:
    """Whose the least mass is, for the middle of a sentence."""
    return "the limb maker's least" if shown.by_maker else "the published general figure"


def bound(shown: After) -> str:
    """What the least mass means, for the beginning of a sentence: the general one permits nothing."""
    return "Least mass, by the limb maker" if shown.by_maker else "Lighter than this is certainly too light"


def over(shown: After) -> str:
    """What the draw weight means that goes with it."""
    if shown.by_maker:
        return "The heaviest draw weight for this arrow, by the limb maker's least"
    return "Over this draw weight the arrow is certainly too light"


def title(shown: After) -> str:
    """What is to be done, or why not."""
    if shown.stopped is MassJudgement.LIGHT:
        return "Stop: this arrow is too light"
    if shown.stopped is MassJudgement.NEAR:
        return "Too near to tell: take a heavier arrow"
    if not shown.by:
        return "Nothing is predicted there"
    found = shown.held
    if found is not None and shown.values.entered("arrow_mass") and shown.own_weight:
        unit = ratio_unit(shown.values)
        has = ratio_down(found.ratio, unit)
        if shown.by_maker:
            arrow = mass(found.mass, mass_unit(shown.values))
            wants = least(shown)
            return f"Your {arrow} arrow is heavy enough: {has}, and the limb maker wants {wants}"
        return f"Look up how light an arrow your limb maker permits: yours has {has}"
    if not shown.about.turned:
        return "No bolt is turned: this is how to set the bow"
    return f"{words.capital(said.both_moved(shown.about.change))}: what to set again, and in which order"


def ratio_down(value: float, unit: str) -> str:
    """An arrow's mass for the draw weight, rounded down."""
    return f"{fixed_down(units.from_si(value, unit), 1 if unit == 'gr/lbf' else 3)} {units.unit(unit).symbol}"


def least(shown: After) -> str:
    """The least mass for the draw weight, as it was typed."""
    unit = ratio_unit(shown.values)
    return f"{trimmed(units.from_si(shown.least, unit), 2 if unit == 'gr/lbf' else 4)} {units.unit(unit).symbol}"


def sentence(shown: After) -> str:
    """The draw weight before and after, what that is for the arrow, and what comes first."""
    if shown.stopped is not None:
        return f"{_arrow(shown)} {_wrong(shown)} {_weights(shown)}"
    steps = shown.by and shown.turns
    first = "Now set again what it moves, in order: first the line of the limbs, last the sight." if steps else ""
    return " ".join(filter(None, (_arrow(shown), _weights(shown), first)))


def _wrong(shown: After) -> str:
    found = shown.held
    if found is None:
        return ""
    unit = mass_unit(shown.values)
    if found.judged is MassJudgement.LIGHT:
        return f"Do not shoot it from this bow. Against {least_by(shown)} it lacks {spare(found.spare, unit)}."
    return (
        f"The draw weight may be as much as {said.force(found.heaviest, said.force_unit(shown.values))}, and for that "
        f"it is too light by {least_by(shown)}. Ask the limb maker, and until then do not shoot it."
    )


def _weights(shown: After) -> str:
    unit, about = said.force_unit(shown.values), shown.about
    before = said.force(shown.before, unit)
    at = said.own_draw(shown.values)
    if shown.by == "weighed" and shown.after is not None:
        return f"Draw weight at {at}: {before} before, {said.force(shown.after, unit)} as weighed since."
    if shown.by == "foretold" and shown.after is not None:
        return f"Draw weight at {at}: {before} before, about {said.force(shown.after, unit)} expected."
    if shown.by == "same":
        return f"Draw weight at {at}: {before}."
    return f"{about.why_not} Draw weight as it is: {before} at {at}."


def _arrow(shown: After) -> str:
    found = shown.held
    if found is None:
        return (
            LOOK_UP if not shown.by_maker else "Your arrow's mass is not entered: weigh one, and this page tells more."
        )
    whose = "Your arrow" if shown.values.entered("arrow_mass") else "The made-up arrow"
    weighs, holds = mass(found.mass, mass_unit(shown.values)), ratio_down(found.ratio, ratio_unit(shown.values))
    has = f"{whose} of {weighs} has {holds}"
    if shown.by_maker:
        return f"{has} of draw weight; the limb maker wants {least(shown)}."
    if found.judged is MassJudgement.LIGHT:
        return f"{has} of draw weight; lighter than {least(shown)} is certainly too light for any bow."
    return f"{has} of draw weight. {LOOK_UP}"


def outside(shown: After) -> Points | None:
    """A stop where the turn leaves a bolt's window; nothing where it does not, or no window is known."""
    about = shown.about
    if about.then is not None or about.bow.windows is None or not about.turned:
        return None
    beyond = about.bow.outside(about.there)
    if not beyond:
        return None
    which = f"the {beyond[0]} bolt stands" if len(beyond) == 1 else "both bolts stand"
    sentence = (
        f"After that turn {which} outside the window. If you have made it: string off, bring it back, and only then go "
        "on. A bow set so is not shot."
    )
    return Points("beyond", "Outside the window", (sentence,), "stop")


def light(shown: After) -> Points | None:
    """A stop where the arrow is too light or too near to it; nothing where it is not."""
    found = shown.held
    if found is None or found.judged is MassJudgement.ENOUGH:
        return None
    if shown.stopped is not None:
        return Points("light", "Too light an arrow", (_counted(shown, found), DRY), "stop")
    example = "The draw weight is still the example's: enter yours before this says anything of your arrow."
    return Points("light", "Too light an arrow", (_wrong(shown), example), "caution")


def _counted(shown: After, found: MassCheck) -> str:
    """The sum, as a reader can do it."""
    weight = said.force_unit(shown.values)
    unit = ratio_unit(shown.values)
    return (
        f"{mass(found.mass, mass_unit(shown.values))} over {said.force(found.weight, weight)} is "
        f"{finely(found.ratio, unit)}. {words.capital(least_by(shown))} is "
        f"{ratio(found.least, unit)}, and the draw weight may be {said.force(found.heaviest - found.weight, weight)} "
        "more than that, by scale and draw."
    )


def general(shown: After) -> Points | None:
    """Say what the general figure is worth, where there is no maker's; or that a maker's is lower."""
    figure = ratio(
        units.to_si(5.0, "gr/lbf"), ratio_unit(shown.values), 1 if ratio_unit(shown.values) == "gr/lbf" else 3
    )
    if not shown.by_maker:
        sentence = (
            f"{LOOK_UP} The published general figure, {figure}, says only which arrow is certainly too light: it has "
            "no figure of its own for recurve bows, and many makers of their limbs want more (common practice, no "
            "source)."
        )
        return Points("general", "The limb maker's figure is missing", (sentence,), "caution")
    general_one = units.to_si(5.0, "gr/lbf")
    if shown.least < general_one * (1 - 1e-9):
        sentence = (
            f"The maker's {least(shown)} is less than the published general figure, {figure}. Read it again in the "
            "manual before it is used."
        )
        return Points("general", "Less than the general figure", (sentence,), "caution")
    return None
