"""The reader's bow as the record gives it: what was measured, what is taken, where the bolts may go."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from quarterturn.bench import bow_numbers, stability, tried_turn
from quarterturn.bench.bow_fit import FitError, FittedBow, Weighing
from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow, own_force_slope
from quarterturn.bench.draw_length import pivot_draw
from quarterturn.bench.positions import Positions, positions_of
from quarterturn.bench.shape import ShapeError, checked_shape, pitch_and_resolution
from quarterturn.bench.tried_turn import Outlier
from quarterturn.bench.window import Window
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.numbers import fixed
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.values import Values

NEEDED = ("brace_height", "upper_tiller", "lower_tiller")
"""What makes the bow the reader's own, beside a weighing and where the bolts stand."""


class BowInputsError(ValueError):
    """The entries give no bow; `problem` names the field and says what would be right.

    Attributes:
        reason: what would be right, without the field's label.
        of_pocket: whether a pocket's own dimensions are what cannot be.
    """

    def __init__(self, problem: Problem, reason: str, *, of_pocket: bool = False) -> None:
        super().__init__(problem.sentence)
        self.problem, self.reason, self.of_pocket = problem, reason, of_pocket


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
    fitted: FittedBow
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
    def weighed_to(self) -> float:
        """How near one weighing at the reader's draw length is, by the scale and by the mark: half-width, N."""
        slope = own_force_slope(self.setup, self.draw)
        return math.hypot(self.values.number("scale_step"), slope * self.values.number("draw_step"))

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


def bow_inputs(values: Values, checked: tuple[str, ...] = ()) -> BowInputs:
    """Take the bow out of a record; `checked` are the fields that a pocket's fitting may be refused for.

    Raises:
        BowInputsError: where the entries give no bow.
    """
    found = positions_of(values)
    now = _upper_and_lower(lambda bolt, place: _now(bolt, place, values, found))
    here = _upper_and_lower(lambda _, place: now[place] if (at := found.places[place]) is None else at)
    by, weighings = _weighings(values)
    setup = _with_tried(_measured(values, _pockets(values, checked), now, weighings), values)
    _check(setup)
    setup, fitted, outlier = _fitted(values, setup, by)
    needed = [*NEEDED, "scale_readings" if by == "readings" else "draw_weight"]
    return BowInputs(
        values,
        setup,
        fitted,
        _own_draw(values),
        here,
        by,
        None if found.unusable else found.windows,
        _no_window(found),
        tuple(name for name in needed if not values.entered(name)),
        found.missing,
        outlier,
    )


def _upper_and_lower(of: Callable[[str, int], float]) -> Pair:
    upper, lower = (of(bolt, place) for place, bolt in enumerate(BOLTS))
    return upper, lower


def _pockets(values: Values, checked: tuple[str, ...]) -> tuple[Pocket, Pocket]:
    try:
        pitch, _ = pitch_and_resolution(values)
        upper, lower = (checked_shape(bolt, values, pitch, checked).pocket for bolt in BOLTS)
    except ShapeError as error:
        raise BowInputsError(error.problem, error.problem.sentence, of_pocket=True) from None
    return upper, lower


def _measured(values: Values, pockets: tuple[Pocket, Pocket], now: Pair, weighings: tuple[Weighing, ...]) -> Setup:
    """The bow's numbers as they were measured or, where they were not, as they are taken."""
    return Setup(
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
        pockets=pockets,
        now=now,
    )


def _fitted(values: Values, setup: Setup, by: str) -> tuple[Setup, FittedBow, Outlier | None]:
    """The setup where the turn that was tried leaves it, its bow, and that turn if it is not used."""
    try:
        posterior = tried_turn.most_probable(values, setup)
        outlier = posterior if isinstance(posterior, Outlier) else None
        setup = setup.without_tried if isinstance(posterior, Outlier) else posterior
        return setup, fitted_bow(setup), outlier
    except FitError as error:
        raise _refused(_field_of(error.reading, by), str(error)) from None
    except PocketError as error:
        raise _refused(_field_where_it_stands(setup), f"A bolt cannot be there. {error}") from None


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
        return f"A reading cannot be used. {found.unusable[0].sentence}"
    return "" if found.windows is not None else "This kind of bolt has no safe range."


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
            f"The limbs would rock {fixed(1000 * frame.fulcrum_x, 0)} mm behind the grip's pivot point. That is brace "
            "height less tiller, and it must be from −50 to 150 mm. Measure all three again.",
        ),
        (
            setup.upper_fulcrum >= setup.fulcrum_span - 0.05,
            "upper_fulcrum",
            f"It must be at least 50 mm less than fulcrum to fulcrum ({fixed(1000 * setup.fulcrum_span, 0)} mm), for "
            "the pivot point is between.",
        ),
        (
            not 0.3 < frame.upper_part < 0.7,
            "string_upper",
            f"It is {fixed(100 * frame.upper_part, 1)} % of the string's length. It must be from 30 to 70 %. Measure "
            "it and the whole string again.",
        ),
    ):
        if wrong:
            raise _refused(field, sentence)


def _refused(field: str, reason: str) -> BowInputsError:
    return BowInputsError(Problem(field, f"{BY_NAME[field].label}: {reason}"), reason)
