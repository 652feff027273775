"""What the explorer works with: one limb's pocket at a turn, with a strip."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.counting import Pitch
from quarterturn.bench.positions import positions_of
from quarterturn.bench.shape import Shape, ShapeError, geometry_problem, pitch_and_resolution, shape_of
from quarterturn.bench.strip_resolution import StripResolution, strip_resolution
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.contact import Contact
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.pocket_inputs import PocketInputs

STRIPS = {"thin": 0.03e-3, "shim": 0.05e-3, "card": 0.25e-3}
"""Thicknesses to choose from, m: cigarette paper (from memory), a feeler blade's own marking, a visiting card (from
memory)."""


@dataclass(frozen=True, slots=True)
class ExplorerInputs(PocketInputs):
    """Everything that is shown.

    Attributes:
        limb: "upper" or "lower".
        turns: out from flush.
        side: where the strip is offered, "rim" or "butt".
        strip: its thickness, m.
        pushed: how far a hand pushes it, m.
        gap_rim, gap_butt: between head and limb, m; None where no limb is under the head.
        reach: how far it could go in there, m; None likewise.
        example: whether the reading of a dimension that a verdict would need is still the example's.
    """

    values: Values
    limb: str
    shape: Shape
    pitch: Pitch
    turns: float
    contact: Contact
    side: str
    strip: float
    pushed: float
    gap_rim: float | None
    gap_butt: float | None
    reach: float | None
    strip_resolution: StripResolution
    touch: float | None
    cover_lost: float | None
    example: bool

    @property
    def gap(self) -> float | None:
        """Between head and limb where the strip is offered, m; None where no limb is under the head."""
        return self.gap_rim if self.side == "rim" else self.gap_butt

    @property
    def goes_in(self) -> float:
        """How far the strip goes in, pushed as it is, m."""
        return min(self.pushed, self.reach or 0.0)


def explorer_inputs(values: Values, asked: tuple[str, ...]) -> ExplorerInputs:
    """Set the scene from a record.

    Raises:
        Refusal: where an entry of this form cannot be used, or the dimensions are no pocket's.
    """
    if problems := values.problems_in(asked):
        raise Refusal(problems)
    limb = values.choice("limb_shown")
    try:
        pitch, _ = pitch_and_resolution(values)
        shape = shape_of(limb, values, pitch)
        return _set(values, limb, shape, pitch)
    except ShapeError as error:
        raise Refusal((error.problem,)) from None
    except PocketError as error:
        if error.parameter == "turns":
            raise Refusal((Problem("turns_shown", f"Turn the bolt: {error}"),)) from None
        raise Refusal((geometry_problem(limb, error, values),)) from None


def _turns_shown(values: Values, limb: str) -> float:
    """Where the reader has put the picture's bolt; else where their own is, as they counted it; else the example's."""
    if values.entered("turns_shown") or not values.entered(f"{limb}_now_turns"):
        return values.number("turns_shown")
    at = positions_of(values).bolts[BOLTS.index(limb)].at
    return values.number("turns_shown") if at is None else at


def _set(values: Values, limb: str, shape: Shape, pitch: Pitch) -> ExplorerInputs:
    pocket, turns = shape.pocket, _turns_shown(values, limb)
    side, chosen = values.choice("strip_offered"), values.choice("strip_shown")
    strip = STRIPS.get(chosen, values.number("strip_thickness"))
    contact, at_rim, at_butt = feeler.gaps(pocket, turns)
    needed = ("head_diameter", f"{limb}_rim_to_butt", f"{limb}_touch_turns")
    return ExplorerInputs(
        values=values,
        limb=limb,
        shape=shape,
        pitch=pitch,
        turns=turns,
        contact=contact,
        side=side,
        strip=strip,
        pushed=values.number("strip_pushed"),
        gap_rim=at_rim,
        gap_butt=at_butt,
        reach=feeler.strip_reach(pocket, turns, strip, side),
        strip_resolution=strip_resolution(pocket, strip),
        touch=contacts.first_touch(pocket),
        cover_lost=contacts.coverage_lost(pocket),
        example=not all(values.entered(name) for name in needed),
    )
