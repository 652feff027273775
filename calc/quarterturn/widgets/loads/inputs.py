"""What the page on loads works with: a pocket, a pull, a thread, a bolt's material."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from quarterturn.bench.counting import Comparison, Count, Pitch, ReadingResolution, by_key
from quarterturn.bench.engagement import (
    WANTED,
    EngagementRequirement,
    ThreadEngagement,
    disagreement,
    free_of,
    length_problems,
    mark_disagreement,
    needed,
)
from quarterturn.bench.shape import Shape, ShapeError, checked_shape, geometry_problem, pitch_and_resolution
from quarterturn.mechanics.bolt_load import Bearing, LoadError, Stress, bearing, shank_stress
from quarterturn.mechanics.materials import MATERIALS, Material
from quarterturn.mechanics.pocket import PocketError
from quarterturn.mechanics.thread_profile import Profile, Standard, profile_of
from quarterturn.mechanics.thread_strength import ShearAreas, shear_areas
from quarterturn.mechanics.threads import ThreadError, nearest_threads
from quarterturn.numbers import at_most, fixed, trimmed
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.loads.string_pull import StringPull, pull
from quarterturn.widgets.pocket_inputs import PocketInputs

STANDARD_WITHIN = 0.03
"""A pitch this near to a standard thread's, as a part of it, is taken for that thread's (a caliper over four turns)."""
STEEPEST = 0.3
"""No standard thread rises more than this part of its diameter in a turn: M5×0.8 and coarser ones stay below 0.2."""
QUARTER = 0.25
"""The turns in and out from flush at which the three states are looked at."""
BOLTS = {
    "steel88": "8.8",
    "steel109": "10.9",
    "steel129": "12.9",
    "stainless": "A2-70",
    "aluminium7075": "7075-T6",
    "aluminium6061": "6061-T6",
    "titanium": "Ti-6Al-4V",
}
RISERS = {"steel": "A2-70", "aluminium": "6061-T6", "unknown": "6061-T6"}
"""What the riser's thread is taken to be made of: the weakest of its kind that is listed."""


@dataclass(frozen=True, slots=True)
class BoltLoad:
    """What the bolt carries at one turn count."""

    bearing: Bearing
    stress: Stress

    @property
    def touches(self) -> bool:
        """Whether head and limb touch."""
        return self.bearing.contact_x is not None


@dataclass(frozen=True, slots=True)
class LoadInputs(PocketInputs):
    """Everything that is shown.

    Attributes:
        limb: "upper" or "lower".
        turns: out from flush, of the picture.
        pull: the string's, the same at every turn: that of the bow as it stands.
        thread: the nearest standard thread's name, "" where none is near.
        free_length: of the shank at zero, from the head's underside to the riser's thread, m.
        engaged: the thread that holds; the example's where none was given.
        thread_given: whether how much thread holds was given.
        out, flush, rim: a quarter turn out, at flush, a quarter turn in past it.
        shown: at the picture's turns.
        missing: the readings that matter most and are still the example's.
        example: whether there is one.
    """

    values: Values
    limb: str
    shape: Shape
    pitch: Pitch
    turns: float
    pull: StringPull
    profile: Profile
    thread: str
    free_length: float
    engaged: ThreadEngagement
    thread_given: bool
    wanted: EngagementRequirement
    areas: ShearAreas
    out: BoltLoad
    flush: BoltLoad
    rim: BoltLoad
    shown: BoltLoad
    missing: tuple[str, ...]
    example: bool

    @property
    def bolt(self) -> Material:
        """The material that was chosen to look at."""
        return MATERIALS[BOLTS[self.values.choice("bolt_material")]]

    @property
    def riser(self) -> Material:
        """What the riser's thread is taken to be made of."""
        return MATERIALS[RISERS[self.values.choice("bush_metal")]]

    @property
    def states(self) -> tuple[BoltLoad, BoltLoad, BoltLoad]:
        """The three that are held against one another."""
        return self.out, self.flush, self.rim

    @property
    def even_is_least(self) -> bool:
        """Whether even pressure at flush bends no more than a line of contact beside it, on either side."""
        lines = [abs(one.bearing.bending) for one in (self.out, self.rim) if one.touches]
        return all(at_most(abs(self.flush.bearing.bending), line) for line in lines)

    @property
    def covered(self) -> bool:
        """Whether the butt reaches past the bolt's axis at flush, as it should (common practice, no source)."""
        return self.pocket.coverage_at_flush > 0


def load_inputs(values: Values, fields: tuple[str, ...]) -> LoadInputs:
    """Take what is asked out of a record.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    problems = (*values.problems_in(fields), *length_problems(values), *_section_problems(values))
    if problems:
        raise Refusal(problems)
    limb = values.choice("limb_shown")
    try:
        return _load_inputs(values, limb, fields)
    except ShapeError as error:
        raise Refusal((_in_form(error.problem, fields),)) from None
    except LoadError as error:
        raise Refusal((_named("draw_weight", error),)) from None
    except ThreadError as error:
        raise Refusal((_named("thread_diameter" if error.parameter == "diameter" else "rise", error),)) from None
    except PocketError as error:
        if error.parameter == "turns":
            raise Refusal((_named("turns_shown", error),)) from None
        raise Refusal((_in_form(geometry_problem(limb, error, values), fields),)) from None


def _in_form(problem: Problem, fields: tuple[str, ...]) -> Problem:
    """The problem where the reader can correct it: an arm by the tip's travel is measured on another page."""
    if problem.field in fields:
        return problem
    _, _, sentence = problem.sentence.partition(": ")
    return Problem(
        "fulcrum_arm",
        f"{BY_NAME['fulcrum_arm'].label}: it comes from another page's “{BY_NAME[problem.field].label}” and cannot be "
        f"right. {sentence} Enter it here, or measure that again.",
    )


def _named(field: str, error: Exception) -> Problem:
    return Problem(field, f"{BY_NAME[field].label}: {error}")


def _load_inputs(values: Values, limb: str, fields: tuple[str, ...]) -> LoadInputs:
    pitch, resolution = pitch_and_resolution(values)
    shape = checked_shape(limb, values, pitch, fields)
    pulled = pull(values, limb, fields)
    profile, thread = _profile(values, pitch)
    stand, turns = values.number(f"{limb}_stand_zero"), values.number("turns_shown")
    free, given = _free(limb, values, pitch, resolution)
    bush = values.optional("bush_length") if given else values.number("bush_length")
    wanted = needed(profile.diameter, WANTED[values.choice("bush_metal")], bush)

    def carried(at: float) -> BoltLoad:
        borne = bearing(shape.pocket, at, pulled.moment)
        bare = max(0.0, stand + pitch.value * at)
        return BoltLoad(borne, shank_stress(borne, profile.stress_area, bare))

    needed_fields = ("head_diameter", f"{limb}_rim_to_butt", "thread_diameter")
    missing = (*pulled.bow.missing, *(name for name in needed_fields if not values.entered(name)))
    out, flush, rim = _three(carried, shape)
    return LoadInputs(
        values=values,
        limb=limb,
        shape=shape,
        pitch=pitch,
        turns=turns,
        pull=pulled,
        profile=profile,
        thread=thread,
        free_length=stand,
        engaged=ThreadEngagement(free, bush, pitch),
        thread_given=given,
        wanted=wanted,
        areas=shear_areas(profile),
        out=out,
        flush=flush,
        rim=rim,
        shown=carried(turns),
        missing=missing,
        example=bool(missing),
    )


def _three(carried: Callable[[float], BoltLoad], shape: Shape) -> tuple[BoltLoad, BoltLoad, BoltLoad]:
    """The three states that are held against one another.

    Raises:
        Refusal: where the head's rim stands so nearly under the fulcrum that a quarter of a turn in is too far.
    """
    try:
        return carried(QUARTER), carried(0.0), carried(-QUARTER)
    except PocketError as error:
        if error.parameter != "turns":
            raise
    sentence = (
        f"{BY_NAME['fulcrum_arm'].label}: {_mm(shape.pocket.fulcrum_arm)} is too little: the head's rim could not hold "
        "the limb a quarter of a turn past flush. It must be more, or the head smaller. Measure both again."
    )
    raise Refusal((Problem("fulcrum_arm", sentence),))


def _free(limb: str, values: Values, pitch: Pitch, resolution: ReadingResolution) -> tuple[Count, bool]:
    """Where the thread lets go, and whether that was given; else the example's.

    Raises:
        Refusal: where a count and lengths contradict one another.
    """
    comparisons: list[tuple[str, Comparison]] = []
    found = free_of(limb, values, pitch, resolution, comparisons)
    if found is None:
        return by_key(values.number(f"{limb}_free_turns"), resolution), False
    for field, comparison in comparisons:
        if not comparison.agree:
            if field.endswith("free_from_mark"):
                raise Refusal((mark_disagreement(limb, found.turns, comparison.difference),))
            lengths = found.turns - comparison.difference
            raise Refusal((disagreement(limb, found.turns, lengths, comparison.explained),))
    return found, True


def _profile(values: Values, pitch: Pitch) -> tuple[Profile, str]:
    """The standard thread that fits diameter and pitch, or one of just these dimensions, with the lesser area."""
    diameter = values.number("thread_diameter")
    for match in nearest_threads(pitch.value, diameter, 1):
        if abs(match.relative_difference) <= STANDARD_WITHIN:
            return profile_of(match.thread), match.thread.designation
    return Profile(diameter, pitch.value, Standard.UNIFIED), ""


def _section_problems(values: Values) -> Iterator[Problem]:
    """Say where head, slot, shank and pitch contradict one another."""
    diameter, head, slot = (values.number(name) for name in ("thread_diameter", "head_diameter", "slot_width"))
    shank = _mm(diameter) if values.entered("thread_diameter") else f"{_mm(diameter)} (the example's: enter yours)"
    pitch = values.number("rise") / values.number("rise_turns")
    if at_most(head, diameter):
        yield Problem(
            "head_diameter",
            f"{BY_NAME['head_diameter'].label}: {_mm(head)} is not more than the shank, {shank}. The head must "
            "be wider. Measure both again.",
        )
    elif slot < diameter * (1 - 0.02):
        yield Problem(
            "slot_width",
            f"{BY_NAME['slot_width'].label}: the shank of {shank} would not pass through {_mm(slot)}. The slot "
            "must be wider than the thread. Measure both again.",
        )
    if pitch > STEEPEST * diameter:
        yield Problem(
            "thread_diameter",
            f"{BY_NAME['thread_diameter'].label}: no thread of {shank} rises {fixed(1000 * pitch, 2)} mm a "
            f"turn. The pitch must be less than {trimmed(100 * STEEPEST, 0)} % of the diameter. Measure both again.",
        )


def _mm(length: float) -> str:
    return f"{trimmed(1000 * length, 2)} mm"
