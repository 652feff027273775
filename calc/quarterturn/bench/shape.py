"""One limb's pocket as the record gives it, whatever a verdict would need."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.counting import Pitch, ReadingResolution, pitch_of
from quarterturn.bench.lever import Arm, arm
from quarterturn.bench.readings import dimensions_of
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values


class ShapeError(ValueError):
    """The entries give no pocket; `problem` names the field and says what would be right."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.sentence)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Shape:
    """A pocket, and where two of its dimensions come from.

    Attributes:
        arm: the arm and how it is known.
        touch_by: how the fitting's angle is known: "first touch", "free travel" or "assumed".
    """

    pocket: Pocket
    arm: Arm
    touch_by: str


def pitch_and_resolution(values: Values) -> tuple[Pitch, ReadingResolution]:
    """Take the pitch out of a record, and how finely its reader counts and measures.

    Raises:
        ShapeError: where the pitch is no limb bolt's.
    """
    resolution = ReadingResolution(values.number("smallest_turn"), values.number("play"), values.number("caliper_step"))
    try:
        pitch = pitch_of(
            values.number("rise"), values.number("rise_turns"), resolution, measured=values.entered("rise")
        )
    except ValueError as error:
        raise ShapeError(Problem("rise", f"The pitch {error}.")) from None
    return pitch, resolution


def shape_of(bolt: str, values: Values, pitch: Pitch, *, fitting: bool = True) -> Shape:
    """Build one limb's pocket; turns count from true flush.

    The fitting's angle comes from first touch where it was counted, else from the tip's free travel, else from the
    example's first touch; without `fitting` nothing holds the limb.

    Raises:
        ShapeError: where the dimensions cannot be those of a pocket.
    """
    dimensions = dimensions_of(bolt, values, pitch)
    try:
        free = dimensions.free_pocket(pitch.value)
        pocket, by = _with_fitting(free, bolt, values) if fitting else (free, "assumed")
    except PocketError as error:
        raise ShapeError(geometry_problem(bolt, error, values)) from None
    return Shape(pocket, arm(values, pitch, dimensions.cover, pocket.rim_reach), by)


def checked_shape(bolt: str, values: Values, pitch: Pitch, checked: tuple[str, ...]) -> Shape:
    """The pocket where only these fields are checked: a first touch that cannot be is left out if it is none of them.

    Raises:
        ShapeError: where the dimensions cannot be those of a pocket.
    """
    try:
        return shape_of(bolt, values, pitch)
    except ShapeError as error:
        if error.problem.field in checked:
            raise
    return shape_of(bolt, values, pitch, fitting=False)


def _with_fitting(free: Pocket, bolt: str, values: Values) -> tuple[Pocket, str]:
    travel = values.optional("tip_travel")
    touch = values.optional(f"{bolt}_touch_turns")
    if touch is None and travel is not None:
        return contacts.with_fitting_angle(free, travel / values.number("tip_length")), "free travel"
    by = "assumed" if touch is None else "first touch"
    # Coming in, the strip stops before the head touches.
    lag = feeler.touch_seen_from_outside(free, values.number("strip_thickness"))
    return contacts.pocket_from_touch(free, values.number(f"{bolt}_touch_turns") - lag), by


_FIELD_OF_PARAMETER = {
    "fulcrum_arm": "fulcrum_arm",
    "limb_depth": "limb_depth",
    "head_radius": "head_diameter",
    "slot_half_width": "slot_width",
    "pitch": "rise",
    "strip": "strip_thickness",
}


def geometry_problem(bolt: str, error: PocketError, values: Values) -> Problem:
    """Say which field a geometry that cannot be is about: where the arm came by the tip's travel, that one."""
    per_bolt = "touch_turns" if error.parameter in ("turns", "fitting_angle") else "rim_to_butt"
    field = _FIELD_OF_PARAMETER.get(error.parameter, f"{bolt}_{per_bolt}")
    if field == "fulcrum_arm" and values.entered("lever_travel") and not values.entered("fulcrum_arm"):
        field = "lever_travel"
    label = BY_NAME[field].label
    whose = "" if label.startswith(bolt.capitalize()) else f"{bolt.capitalize()} bolt, "
    return Problem(field, f"{whose}{label}: {error}")
