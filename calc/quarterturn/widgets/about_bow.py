"""What the pages on the whole bow share: their fields, the bow that was asked about, numbers and warnings in words."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn import units
from quarterturn.bench.bow_fit import FitError, TurnedBow
from quarterturn.bench.bow_inputs import BowInputs, BowInputsError, bow_inputs
from quarterturn.bench.bow_setup import Pair, as_it_is, foretold
from quarterturn.bench.bow_uncertainty import BowUncertainty, TurnResponse, uncertainty_of
from quarterturn.bench.family import FAMILIES, can_be_felt
from quarterturn.bench.uncertainty import Budget
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import fixed, same, settle, trimmed
from quarterturn.record.entries import Problem
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Group, Hand, Points, Refusal, Status

EMPTY = "What you leave empty is the example's."
COMPUTED = "The numbers here are computed for these places, from the readings taken before."
TURNED = ("upper_change", "lower_change")
STRUNG = Group(
    "strung",
    "Strung, at rest",
    "Before anything is turned, the three of them at the same time.",
    ("brace_height", "upper_tiller", "lower_tiller"),
)
NEARNESS = Group(
    "nearness",
    "How near you read",
    "It decides how sure the answer is, and nothing else.",
    ("tape_step", "scale_step", "draw_step"),
    folded=True,
)
STANDS = Group(
    "stands",
    "Where the bolts stand",
    f"As on the worksheet: it is the same entry. {EMPTY}",
    ("upper_now_side", "upper_now_turns", "lower_now_side", "lower_now_turns"),
    folded=True,
)
RISER = Group(
    "riser",
    "Riser, limbs, string",
    f"By tape. {EMPTY}",
    ("upper_fulcrum", "fulcrum_span", "limb_length", "limb_depth", "string_length", "string_upper", "length_unit"),
    folded=True,
)
POCKET = Group(
    "pocket",
    "The pocket",
    f"As on the worksheet: it tells how far the limb rocks in a turn. {EMPTY}",
    ("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "fulcrum_arm", "rise", "rise_turns"),
    folded=True,
)
PAIR = (
    "The two limbs are taken for a pair, alike but for how stiff they are. How far each may differ from that is in "
    "every ±. It is our own estimate, limb by limb, in the table of every number on the page on tiller."
)
ASSUMED = (
    "The limbs are springs without mass, of the shape that is listed above; the string does not stretch and has no "
    "friction; the hand holds the bow at one point.",
    PAIR,
    "The bolts are counted from zero and the limbs rock as from flush: the two are taken as one.",
    "The limb lies on the bolt and rocks as on the page on the pocket, with nothing that gives.",
    "It is foretold for the same string, and for nothing else changed. Inside both windows only.",
    "No figure here says that a limb, a bolt or a riser holds.",
)
MOST_NAMED = 2
REACH = 4.0
"""So many turns a slider under a picture goes either way; windows are hardly wider, and more can be typed."""
STRONG = 0.010
"""Where a turn moves tiller by more than this, m, it is said (our own measure)."""
UNLIKE = 1.3
"""Where one limb would be so many times as stiff as the other, it is said (our own measure)."""
FAR_OFF = 3.0
"""A weighing is called off where it lies farther from the bow than this many times what it may be off."""
STRING_OFF = 0.010
"""Where the bow wants another string than was measured by more than this, m, it is said (our own measure)."""


@dataclass(frozen=True, slots=True)
class About:
    """The bow, the turn that is tried on the page, and what is predicted of it.

    Attributes:
        start: where the bolts are before the turn, turns out from zero.
        change: turns that each bolt is turned by, out is positive.
        now: the bow before the turn.
        then: the bow after it; None where nothing is predicted.
        why_not: why not, a sentence; "" where it is.
    """

    bow: BowInputs
    start: Pair
    change: Pair
    now: TurnedBow
    then: TurnedBow | None
    why_not: str

    @property
    def values(self) -> Values:
        """The record's values."""
        return self.bow.values

    @property
    def unit(self) -> str:
        """The unit that lengths are shown in."""
        return self.bow.unit

    @property
    def there(self) -> Pair:
        """Where the bolts are after the turn."""
        return self.start[0] + self.change[0], self.start[1] + self.change[1]

    @property
    def moved(self) -> bool:
        """Whether the bolts are elsewhere than where the readings of the bow were taken."""
        return not all(map(same, self.start, self.bow.setup.now))

    @property
    def since(self) -> Pair:
        """Turns from where the readings of the bow were taken to where the bolts are."""
        return self.start[0] - self.bow.setup.now[0], self.start[1] - self.bow.setup.now[1]

    @property
    def outside(self) -> bool:
        """Whether a bolt is outside its window before the turn, or has none."""
        return bool(self.bow.outside(self.start))

    @property
    def turned(self) -> bool:
        """Whether the page turns a bolt at all."""
        return not all(same(each, 0.0) for each in self.change)

    @property
    def example(self) -> bool:
        """Whether a reading that makes the bow the reader's own is still the example's."""
        return bool(self.bow.missing or self.bow.window_missing)

    @property
    def status(self) -> Status:
        """Where what is computed from it comes from."""
        return Status.EXAMPLE if self.example else Status.COMPUTED

    @property
    def uncertainty(self) -> BowUncertainty:
        """How sure it is: slow at first, kept then.

        Raises:
            FitError: where the bow has no answer about where its bolts stand.
        """
        return uncertainty_of(self.bow)

    def sure(self, name: str, *, then: bool = False) -> Budget:
        """How sure a number is before the turn, or after it.

        Raises:
            FitError: where the bow has no answer about where its bolts stand.
        """
        upper, lower = self.since
        more = self.change if then else (0.0, 0.0)
        return self.uncertainty.budget_of(name, (upper + more[0], lower + more[1]), whole=True)

    @property
    def response(self) -> TurnResponse:
        """What turns do about where the bolts stand."""
        return self.uncertainty.response


def about(values: Values, fields: tuple[str, ...]) -> About:
    """Take the bow and the turn that is tried out of a record, for a form of these fields.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return _about(values, fields, None)


def since_measured(values: Values, fields: tuple[str, ...], change: Pair) -> About:
    """The same for a turn that was made since the readings of the bow were taken.

    Raises:
        Refusal: as `about`.
    """
    return _about(values, fields, change)


def _about(values: Values, fields: tuple[str, ...], made: Pair | None) -> About:
    problems = values.problems_in(fields)
    if problems:
        raise Refusal(problems)
    try:
        bow = bow_inputs(values, fields)
        start = bow.here if made is None else bow.setup.now
        change = made or (values.number("upper_change"), values.number("lower_change"))
        then, why_not = _predicted(bow, start, change)
        return About(bow, start, change, _before(bow, start), then, why_not)
    except BowInputsError as error:
        raise Refusal((in_form(error, fields),)) from None
    except FitError as error:
        raise Refusal((Problem("draw_length", f"{BY_NAME['draw_length'].label}: {error}"),)) from None


def in_form(error: BowInputsError, fields: tuple[str, ...]) -> Problem:
    """What a form of these fields says of entries that give no bow, at a field where the reader can put it right."""
    problem = error.problem
    if problem.field in fields:
        return problem
    if error.of_pocket:
        label = BY_NAME[problem.field].label
        return Problem(
            "fulcrum_arm", f"On another page, “{label}” was entered so that no pocket has it. {error.reason}"
        )
    if problem.field == "scale_readings":
        return Problem("draw_weight", f"Entered on another page, the scale readings: {error.reason}")
    return problem


def _before(bow: BowInputs, start: Pair) -> TurnedBow:
    """The bow before the turn; as its readings were taken, where it has no answer elsewhere."""
    if all(map(same, start, bow.setup.now)):
        return as_it_is(bow.setup, bow.draw)
    try:
        return foretold(bow.setup, bow.draw, start)
    except (FitError, PocketError):
        return as_it_is(bow.setup, bow.draw)


def _predicted(bow: BowInputs, start: Pair, change: Pair) -> tuple[TurnedBow | None, str]:
    if bow.windows is None:
        return None, f"Nothing is predicted without both windows. {bow.no_window}"
    there = start[0] + change[0], start[1] + change[1]
    beyond = bow.outside(there)
    if beyond and not all(same(each, 0.0) for each in change):
        return None, " ".join(_outside(bow, bolt, there) for bolt in beyond) + " Outside a window nothing is predicted."
    try:
        return foretold(bow.setup, bow.draw, there), ""
    except (FitError, PocketError) as error:
        return None, f"Nothing is predicted there. {error}"


def _outside(bow: BowInputs, bolt: str, there: Pair) -> str:
    place = BOLTS.index(bolt)
    if bow.windows is None or bow.windows[place].vanished:
        return f"The {bolt} bolt has no window."
    window = bow.windows[place]
    return f"The {bolt} bolt would be at {words.place(there[place])}, and its safe range is {words.safe_range(window)}."


def made_up(shown: About) -> str:
    """What is still the example's, and what makes it the reader's own."""
    lacking = [BY_NAME[name].label for name in shown.bow.missing]
    if len(lacking) > MOST_NAMED:
        return "The bow is a made-up one's, until you enter your own."
    if lacking:
        return f"Still the made-up bow's: {words.listed(lacking)}."
    return "The readings are yours; the windows are still a made-up bow's, until your worksheet is complete."


# Numbers in words


def position(turns: float) -> str:
    """Where a bolt stands, counted from zero."""
    if same(turns, 0.0):
        return "at zero"
    return f"{words.turns(abs(turns))} {'out from' if turns > 0 else 'in past'} zero"


def moved(turns: float) -> str:
    """By how much a bolt is turned, and which way."""
    return f"{'out' if turns > 0 else 'in'} by {words.amount(turns)}"


def both_moved(change: Pair) -> str:
    """What is turned, for the beginning of a sentence or after a colon."""
    upper, lower = (settle(each) for each in change)
    if same(upper, lower):
        return f"both bolts {moved(upper)}"
    parts = [
        f"{bolt} bolt {moved(each)}" for bolt, each in zip(BOLTS, (upper, lower), strict=True) if not same(each, 0)
    ]
    return ", ".join(parts)


def force_unit(values: Values) -> str:
    """The unit that the reader weighs in: as first typed, else pounds."""
    for name in ("draw_weight", "scale_readings"):
        entry = values.record.entries.get(name)
        if entry is None or not values.entered(name):
            continue
        if entry.unit:
            return entry.unit
        for row in entry.rows:
            for box in row[1:]:
                if box is not None and box.unit:
                    return box.unit
    return "lbf"


def force(value: float, unit: str, decimals: int = 1) -> str:
    """A force, in the reader's unit."""
    return f"{fixed(units.from_si(value, unit), decimals)} {units.unit(unit).symbol}"


def length(value: float, unit: str, decimals: int | None = None) -> str:
    """A length that a tape tells: a tenth of a millimetre, or three decimals of an inch."""
    places = (1 if unit == "mm" else 3) if decimals is None else decimals
    return words.length(value, unit, places)


def whole(value: float, unit: str) -> str:
    """A length as a headline has it: whole millimetres, or hundredths of an inch."""
    return words.length(value, unit, 0 if unit == "mm" else 2)


def signed(text: str) -> str:
    """With a plus where there is no minus, and none where it is nothing."""
    number = text.split(" ", maxsplit=1)[0]
    nothing = not any(sign in "123456789" for sign in number)
    return text if nothing or text.startswith(("−", "-")) else f"+{text}"


def draw_unit(values: Values) -> str:
    """The unit that the reader counts draw lengths in: as first typed, else inches."""
    for name in ("draw_length", "scale_readings"):
        entry = values.record.entries.get(name)
        if entry is None or not values.entered(name):
            continue
        if entry.unit:
            return entry.unit
        for row in entry.rows:
            if row[0] is not None and row[0].unit:
                return row[0].unit
    return "in"


def own_draw(values: Values) -> str:
    """The reader's draw length as it was typed, with the place it is counted from."""
    unit = draw_unit(values)
    number = trimmed(units.from_si(values.number("draw_length"), unit), 2)
    station = {"amo": "AMO", "pivot": "to the pivot point", "plunger": "to the plunger", "rest": "to the rest"}
    return f"{number} {units.unit(unit).symbol} {station[values.choice('draw_station')]}"


def hands(shown: About) -> tuple[Hand, ...]:
    """The sliders that turn both bolts, for under a picture."""
    return tuple(_hand(shown, at) for at in range(len(BOLTS)))


def _hand(shown: About, at: int) -> Hand:
    bolt = BOLTS[at]
    field = BY_NAME[f"{bolt}_change"]
    if not isinstance(field, NumberField):
        raise TypeError("a turn must be a number")
    now = shown.change[at]
    told = moved(now) if settle(now) else "as it stands"
    reach = max(REACH, abs(now))
    return Hand(f"{bolt}_change", f"Turn the {bolt} bolt", -reach, reach, field.step, now, told)


# Warnings


def warnings(shown: About) -> list[Points]:
    """What must be known before a number is read."""
    found = []
    values = shown.values
    family = values.choice("bolt_family")
    if values.entered("bolt_family") and not can_be_felt(family):
        sentence = f"What is computed here is a flat head, and your bow has another bolt. {FAMILIES[family].reason}"
        found.append(Points("other-bolt", "Not your bolt", (sentence,), "caution"))
    told = [problem.sentence for problem in values.unfinished("scale_readings")]
    told += [*_string_off(shown), *_unlike(shown), *_half_tried(values), *tried_turn_unused(shown.bow)]
    if told:
        found.append(Points("told", "Look at these again", tuple(told), "caution"))
    return found


def by_log(shown: About, reading: str = COMPUTED) -> list[Points]:
    """Where the bolts are by the log, and how the page's numbers go with that; nothing where they were not moved."""
    if not shown.moved:
        return []
    upper, lower = shown.start
    sentence = f"By your log the upper bolt is now {position(upper)}, the lower one {position(lower)}. {reading}"
    return [Points("by-log", "Where the bolts are, by your log", (sentence,))]


def _string_off(shown: About) -> list[str]:
    values, bow = shown.values, shown.bow
    off = bow.fitted.string - values.number("string_length")
    if not values.entered("string_length") or abs(off) <= STRING_OFF:
        return []
    return [
        f"To have this brace height, the bow that is computed needs a string "
        f"{length(abs(off), shown.unit)} {'longer' if off > 0 else 'shorter'} than yours. The lengths of riser and "
        "limbs, or the limbs' shape, are not quite yours: measure them again, and take what is foretold as rougher."
    ]


def _unlike(shown: About) -> list[str]:
    ratio = shown.bow.fitted.ratio
    if 1 / UNLIKE <= ratio <= UNLIKE:
        return []
    return [
        f"By these readings the {'lower' if ratio > 1 else 'upper'} limb is {fixed(max(ratio, 1 / ratio), 2)} times as "
        "stiff as the other. No pair of limbs is made so unlike: measure both tillers again, and look which is which."
    ]


def _half_tried(values: Values) -> list[str]:
    entered = [bolt for bolt in BOLTS if values.entered(f"{bolt}_tried_tiller")]
    if len(entered) != 1:
        return []
    lacking = "lower" if entered == ["upper"] else "upper"
    return [f"The turn that you have tried is not used yet: the {lacking} limb's distance after it is still empty."]


def tried_turn_unused(bow: BowInputs) -> list[str]:
    """Say that the turn that was tried is not used, what it would have to have done, and what to do if it was right."""
    tried = bow.tried_outlier
    if tried is None:
        return []
    change = signed(length(tried.change, bow.unit))
    begun = f"The turn that you have tried is not used. It changed tiller by {change}, by your four readings, and "
    if tried.expected is None:
        return [f"{begun}no bolt can be brought there in the pocket that is computed. Count the turn again."]
    least, most = (signed(length(each, bow.unit)) for each in tried.expected)
    return [
        f"{begun}even with all that may be off, the computed bow gives {least} to {most}. Measure all four again, as "
        "near as you can, and count the turn again; a whole turn tells more than a half. If it is so again, turn "
        "nothing farther, leave the string off and ask a qualified coach or a bow technician."
    ]


def _unloading(bow: BowInputs) -> str:
    """What must be known of a bow that is near unloading one limb into the other; "" of all others."""
    if not bow.near_unloading:
        return ""
    return (
        " By these readings the limbs hardly hold each other in balance any more: one of them is near unloading into "
        "the other. Leave the string off and ask a qualified coach or a bow technician."
    )


def strong(shown: About) -> Points | None:
    """Warn where a turn moves tiller much more than usual."""
    most = max(abs(shown.response.upper.tiller), abs(shown.response.lower.tiller))
    if most <= STRONG:
        return None
    sentence = (
        f"By these readings a turn of one bolt moves tiller by {fixed(1000 * most, 0)} mm, more than twice the usual. "
        "A reading may be off: measure again, the pocket too."
    ) + (_unloading(shown.bow) or " If it is so, ask a qualified coach or a bow technician before you turn a bolt.")
    return Points("strong", "Tiller moves too readily", (sentence,), "stop")
