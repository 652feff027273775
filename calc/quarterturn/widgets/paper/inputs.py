"""What the page on paper works with: a pocket, a strip, a hand."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn import units
from quarterturn.bench.counting import Pitch, ReadingResolution
from quarterturn.bench.readings import STRIP_TOLERANCE
from quarterturn.bench.shape import Shape, ShapeError, checked_shape, geometry_problem, pitch_and_resolution
from quarterturn.bench.strip_resolution import StripResolution, strip_for, strip_resolution
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.pocket_inputs import PocketInputs

LARGEST = STRIP_TOLERANCE


@dataclass(frozen=True, slots=True)
class PaperInputs(PocketInputs):
    """A pocket, a strip and a hand, and what the strip tells there.

    Attributes:
        strip: its thickness, m.
        wanted: how finely flush is to be told, turns.
        thin_enough: the thickest strip that tells it so finely, m.
        example: whether a dimension that matters most is still the example's.
    """

    values: Values
    limb: str
    shape: Shape
    pitch: Pitch
    resolution: ReadingResolution
    strip: float
    wanted: float
    thin_enough: float
    strip_resolution: StripResolution
    example: bool

    def length(self, value: float) -> float:
        """A length in SI, in the unit that is shown."""
        return units.from_si(value, self.unit)


def paper_inputs(values: Values, fields: tuple[str, ...]) -> PaperInputs:
    """Take what is asked out of a record.

    Raises:
        Refusal: where an entry of this form cannot be used, or the dimensions are no pocket's.
    """
    if problems := values.problems_in(fields):
        raise Refusal(problems)
    limb = values.choice("limb_shown")
    strip, wanted = values.number("strip_thickness"), values.number("strip_wanted")
    try:
        pitch, resolution = pitch_and_resolution(values)
        shape = checked_shape(limb, values, pitch, fields)
        found = strip_resolution(shape.pocket, strip)
    except ShapeError as error:
        raise Refusal((error.problem,)) from None
    except PocketError as error:
        raise Refusal((geometry_problem(limb, error, values),)) from None
    needed = ("head_diameter", f"{limb}_rim_to_butt")
    return PaperInputs(
        values=values,
        limb=limb,
        shape=shape,
        pitch=pitch,
        resolution=resolution,
        strip=strip,
        wanted=wanted,
        thin_enough=strip_for(shape.pocket, wanted),
        strip_resolution=found,
        example=not all(values.entered(name) for name in needed),
    )
