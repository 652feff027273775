"""The bow, the turn that is tried on a page, what is predicted of it and under which assumptions; its sliders."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from quarterturn.bench.bow_fit import FitError, TurnedBow
from quarterturn.bench.bow_inputs import BowInputs, BowInputsError, bow_inputs
from quarterturn.bench.bow_setup import Pair, as_it_is, foretold
from quarterturn.bench.bow_uncertainty import BowUncertainty, uncertainty_of
from quarterturn.bench.outcomes import TurnResponse
from quarterturn.bench.uncertainty import Budget
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import rounded, same
from quarterturn.record.entries import Problem
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets import bow_form, bow_wording, words
from quarterturn.widgets.answer import Block, DeferredBlock, Refusal, Slider, Status

PAIR = (
    "The two limbs are taken as a pair, alike except in stiffness. How far each may differ from that is in every ±. It "
    "is our own estimate, limb by limb, in the table of every number under Weigh and measure."
)
ASSUMED = (
    "The limbs are springs without mass, of the shape that is listed above. The string does not stretch and has no "
    "friction. The hand holds the bow at one point.",
    PAIR,
    "Bolts are counted from zero, and limbs rock from flush. The two are taken as one.",
    "The limb rests on the bolt and rocks as in How the pocket works. Nothing gives.",
    "Predictions are for the same string, with nothing else changed, and only inside both safe ranges.",
    "No number here tests the strength of a limb, a bolt or a riser.",
)
MOST_NAMED = 2
REACH = 4.0
"""Turns that a slider under a picture goes either way; few windows are wider, and more can be typed."""


@dataclass(frozen=True, slots=True)
class TurnPrediction:
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


def predict(values: Values, fields: tuple[str, ...]) -> TurnPrediction:
    """Take the bow and the turn that is tried out of a record, for a form of these fields.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return _predict(values, fields, None)


def predict_since_measured(values: Values, fields: tuple[str, ...], change: Pair) -> TurnPrediction:
    """The same for a turn that was made since the readings of the bow were taken.

    Raises:
        Refusal: as `predict`.
    """
    return _predict(values, fields, change)


def _predict(values: Values, fields: tuple[str, ...], made: Pair | None) -> TurnPrediction:
    problems = values.problems_in(fields)
    if problems:
        raise Refusal(problems)
    try:
        bow = bow_inputs(values, fields)
        start = bow.here if made is None else bow.setup.now
        change = made or (values.number("upper_change"), values.number("lower_change"))
        then, why_not = _outcome(bow, start, change)
        return TurnPrediction(bow, start, change, _before(bow, start), then, why_not)
    except BowInputsError as error:
        raise Refusal((bow_form.in_form(error, fields),)) from None
    except FitError as error:
        raise Refusal((Problem("draw_length", f"{BY_NAME['draw_length'].label}: {error}"),)) from None


def _before(bow: BowInputs, start: Pair) -> TurnedBow:
    """The bow before the turn; as its readings were taken, where it has no answer elsewhere."""
    if all(map(same, start, bow.setup.now)):
        return as_it_is(bow.setup, bow.draw)
    try:
        return foretold(bow.setup, bow.draw, start)
    except (FitError, PocketError):
        return as_it_is(bow.setup, bow.draw)


def _outcome(bow: BowInputs, start: Pair, change: Pair) -> tuple[TurnedBow | None, str]:
    if bow.windows is None:
        return None, f"Nothing is predicted without both safe ranges. {bow.no_window}"
    there = start[0] + change[0], start[1] + change[1]
    beyond = bow.outside(there)
    if beyond and not all(same(each, 0.0) for each in change):
        said = " ".join(_outside(bow, bolt, there) for bolt in beyond)
        return None, f"{said} Outside the safe range nothing is predicted."
    try:
        return foretold(bow.setup, bow.draw, there), ""
    except (FitError, PocketError) as error:
        return None, f"Nothing is predicted there. {error}"


def _outside(bow: BowInputs, bolt: str, there: Pair) -> str:
    place = BOLTS.index(bolt)
    if bow.windows is None or bow.windows[place].vanished:
        return f"The {bolt} bolt has no safe range."
    window = bow.windows[place]
    return f"The {bolt} bolt would be at {words.place(there[place])}, and its safe range is {words.safe_range(window)}."


def where_solvable(name: str, make: Callable[[], Block | None], *, warns: bool = False) -> DeferredBlock:
    """A block that is made later; none where the bow has no answer about where its bolts stand."""

    def made() -> Block | None:
        try:
            return make()
        except FitError:
            return None

    return DeferredBlock(name, made, warns=warns)


def made_up(prediction: TurnPrediction) -> str:
    """What is still the example's, and what makes it the reader's own."""
    lacking = [words.lower(BY_NAME[name].label) for name in prediction.bow.missing]
    if len(lacking) > MOST_NAMED:
        return "This is an example until you enter your own bow."
    if lacking:
        return f"Example values, not yours: {words.listed(lacking)}."
    return "The readings are yours. The safe ranges are an example until you have found your own."


def sliders(prediction: TurnPrediction) -> tuple[Slider, ...]:
    """The sliders that turn both bolts, for under a picture."""
    return tuple(_slider(prediction, at) for at in range(len(BOLTS)))


def _slider(prediction: TurnPrediction, at: int) -> Slider:
    bolt = BOLTS[at]
    field = BY_NAME[f"{bolt}_change"]
    if not isinstance(field, NumberField):
        raise TypeError("a turn must be a number")
    now = prediction.change[at]
    told = bow_wording.moved(now) if rounded(now) else "not turned"
    reach = max(REACH, abs(now))
    return Slider(f"{bolt}_change", f"Turn the {bolt} bolt", -reach, reach, field.step, now, told)
