"""The reader's bow as the record gives it: what was measured, what is taken, where the bolts may go."""

from __future__ import annotations

from dataclasses import dataclass, replace

from quarterturn.bench import bow_numbers, stability, tried_turn
from quarterturn.bench.bow_fit import FitError, Fitted, Weighing
from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow
from quarterturn.bench.force_draw import pivot_draw
from quarterturn.bench.positions import Positions, positions_of
from quarterturn.bench.shape import ShapeError, pitch_and_resolution, shape_asked
from quarterturn.bench.tried_turn import Outlier
from quarterturn.bench.window import Window
from quarterturn.mechanics.pocket import PocketError, rock_angle
from quarterturn.numbers import fixed
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.values import Values

NEEDED = ("brace_height", "upper_tiller", "lower_tiller")
"""What makes the bow the reader's own, beside a weighing and where the bolts stand."""


class BowInputsError(ValueError):
    """The entries give no bow; `problem` names the field and says what would be right."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.sentence)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class BowInputs:
    """The bow that was found, and where it may be turned.

    Attributes:
        draw: the reader's own draw length, from the pivot point, m.
        here: where the bolts are now, turns out from zero; where the readings were taken as long as no log moved them.
        by: what its stiffness is from: "readings" of the table, or the one "weight".
        windows: of both bolts; None where the worksheet's entries give none.
        no_window: why there are none, a sentence; "" where there are.
        missing: the readings that make the bow the reader's own and have not been entered.
        window_missing: those that the worksheet still needs for its windows.
        tried_outlier: a turn that was tried and is not used; None where it is, or none was tried.
    """

    values: Values
    setup: Setup
    fitted: Fitted
    draw: float
    here: Pair
    by: str
    windows: tuple[Window, Window] | None
    no_window: str
    missing: tuple[str, ...]
    window_missing: tuple[str, ...]
    tried_outlier: Outlier | None

    @property
    def parameters(self) -> tuple[Parameter, ...]:
        """Every number that the bow is made from but its weighings."""
        return bow_numbers.parameters(self.values, self.setup)

    @property
    def of_scale(self) -> tuple[Parameter, ...]:
        """What its weighings add."""
        return bow_numbers.of_scale(self.values, self.setup)

    @property
    def near_unloading(self) -> bool:
        """Whether, as it is computed, one limb of the strung bow is near unloading into the other."""
        return stability.near_unloading(self.fitted.braced)

    @property
    def unit(self) -> str:
        """The unit that lengths are shown in."""
        return self.values.choice("length_unit")

    def outside(self, turns: Pair) -> tuple[str, ...]:
        """The bolts whose windows do not hold these places."""
        if self.windows is None:
            return BOLTS
        return tuple(
            bolt
            for bolt, window, place in zip(BOLTS, self.windows, turns, strict=True)
            if window.vanished or not window.holds(place)
        )

    def at(self, change: Pair) -> Pair:
        """Where the bolts are when they are turned by this much."""
        return self.here[0] + change[0], self.here[1] + change[1]


def bow_inputs(values: Values, fields: tuple[str, ...]) -> BowInputs:
    """Take the bow out of a record, for a form of these fields.

    Raises:
        BowInputsError: where the entries give no bow.
    """
    try:
        pitch, _ = pitch_and_resolution(values)
        pockets = tuple(shape_asked(bolt, values, pitch, fields).pocket for bolt in BOLTS)
    except ShapeError as error:
        raise BowInputsError(_in_form(error.problem, fields)) from None
    found = positions_of(values)
    now = tuple(_now(bolt, place, values, found) for place, bolt in enumerate(BOLTS))
    here = tuple(place if at is None else at for at, place in zip(found.places, now, strict=True))
    by, weighings = _weighings(values)
    setup = Setup(
        brace_height=values.number("brace_height"),
        upper_tiller=values.number("upper_tiller"),
        lower_tiller=values.number("lower_tiller"),
        weighings=weighings,
        string_length=values.number("string_length"),
        string_upper=values.number("string_upper"),
        upper_fulcrum=values.number("upper_fulcrum"),
        fulcrum_span=values.number("fulcrum_span"),
        limb_length=values.number("limb_length"),
        limb_depth=values.number("limb_depth"),
        pockets=(pockets[0], pockets[1]),
        now=(now[0], now[1]),
    )
    setup = _with_tried(setup, values)
    _check(setup)
    try:
        posterior = tried_turn.most_probable(values, setup)
        outlier = posterior if isinstance(posterior, Outlier) else None
        setup = setup.without_tried if isinstance(posterior, Outlier) else posterior
        fitted = fitted_bow(setup)
    except FitError as error:
        raise BowInputsError(_here(_field_of(error.reading, by), str(error), fields)) from None
    except PocketError as error:
        raise BowInputsError(_named(_field_where_it_stands(setup), f"A bolt cannot stand there. {error}")) from None
    needed = [*NEEDED, "scale_readings" if by == "readings" else "draw_weight"]
    lacking = tuple(name for name in needed if not values.entered(name))
    return BowInputs(
        values,
        setup,
        fitted,
        _own_draw(values),
        (here[0], here[1]),
        by,
        None if found.unusable else found.windows,
        _no_window(found),
        lacking,
        found.missing,
        outlier,
    )


def _field_where_it_stands(setup: Setup) -> str:
    """The field of the bolt that cannot stand where it is said to."""
    try:
        rock_angle(setup.pockets[0], setup.now[0])
    except PocketError:
        return "upper_now_turns"
    return "lower_now_turns"


def _field_of(reading: str, by: str) -> str:
    """The field that a refusal of the fit is about."""
    if reading == "draw_weight":
        return "scale_readings" if by == "readings" else "draw_length"
    return "brace_height"


def _no_window(found: Positions) -> str:
    """Why there are no windows, a sentence; "" where there are."""
    if found.unusable:
        return f"The worksheet cannot be answered: {found.unusable[0].sentence}"
    return "" if found.windows is not None else "This kind of bolt has no window."


def _now(bolt: str, place: int, values: Values, found: Positions) -> float:
    """Where a bolt was when the worksheet's readings were taken: by whichever way it was counted."""
    if found.readings is not None:
        return found.readings.bolts[place].now.turns
    side = -1.0 if values.choice(f"{bolt}_now_side") == "in" else 1.0
    return side * values.number(f"{bolt}_now_turns")


def _own_draw(values: Values) -> float:
    return _from_pivot(values.number("draw_length"), values)


def _from_pivot(length: float, values: Values) -> float:
    return pivot_draw(length, values.choice("draw_station"), values.number("station_offset"))


def _weighings(values: Values) -> tuple[str, tuple[Weighing, ...]]:
    """What was weighed: the table's rows where there are any, else the one weight at the reader's draw length."""
    rows = values.rows("scale_readings")
    if rows:
        return "readings", tuple(Weighing(_from_pivot(row["draw"], values), row["weight"]) for row in rows)
    return "weight", (Weighing(_own_draw(values), values.number("draw_weight")),)


def _with_tried(setup: Setup, values: Values) -> Setup:
    """With the turn that was tried, where both tillers after it were read."""
    upper, lower = (values.optional(f"{bolt}_tried_tiller") for bolt in BOLTS)
    if upper is None or lower is None:
        return setup
    bolt, _, way = values.choice("tried_move").partition("_")
    by = values.number("tried_turns") * (-1.0 if way == "in" else 1.0)
    tried = (setup.now[0] + by, setup.now[1]) if bolt == "upper" else (setup.now[0], setup.now[1] + by)
    return replace(setup, tried=tried, upper_tried_tiller=upper, lower_tried_tiller=lower)


def _check(setup: Setup) -> None:
    """Say which of the entries cannot be of one bow.

    Raises:
        BowInputsError: as it says.
    """
    frame = setup.frame
    for wrong, field, sentence in (
        (
            frame.fulcrum_x < -0.05 or frame.fulcrum_x > 0.15,
            "brace_height",
            f"The limbs would rock {fixed(1000 * frame.fulcrum_x, 0)} mm behind the grip's pivot point: that is brace "
            "height less tiller, and it must be from −50 to 150 mm. Measure all three again.",
        ),
        (
            setup.upper_fulcrum >= setup.fulcrum_span - 0.05,
            "upper_fulcrum",
            f"It must be less than the whole span from fulcrum to fulcrum ({fixed(1000 * setup.fulcrum_span, 0)} mm), "
            "by 50 mm or more: the pivot point lies between.",
        ),
        (
            not 0.3 < frame.upper_part < 0.7,
            "string_upper",
            f"It is {fixed(100 * frame.upper_part, 1)} % of the string's length; it must be from 30 to 70 %. Measure "
            "it and the whole string again.",
        ),
    ):
        if wrong:
            raise BowInputsError(_named(field, sentence))


def _named(field: str, sentence: str) -> Problem:
    return Problem(field, f"{BY_NAME[field].label}: {sentence}")


def _here(field: str, sentence: str, fields: tuple[str, ...]) -> Problem:
    """The problem at that field, or where the form does not ask for it at one that stands in for it."""
    if field in fields or field != "scale_readings":
        return _named(field, sentence)
    return Problem("draw_weight", f"Entered on another page, the scale readings: {sentence}")


def _in_form(problem: Problem, fields: tuple[str, ...]) -> Problem:
    """The problem where the reader can put it right: what is asked for on another page is said to be."""
    if problem.field in fields:
        return problem
    label = BY_NAME[problem.field].label
    return Problem(
        "fulcrum_arm", f"On another page, “{label}” was entered so that no pocket has it. {problem.sentence}"
    )
