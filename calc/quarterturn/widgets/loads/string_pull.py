"""What the string does to a limb of the reader's bow: its tension, its angle, its moment about the fulcrum."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs, BowInputsError, bow_inputs
from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_setup import as_it_is
from quarterturn.bench.bow_uncertainty import uncertainty_of
from quarterturn.bench.uncertainty import Budget
from quarterturn.mechanics.bow import DrawnBow, Half
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.bow_form import in_form

AS_IT_STANDS = (0.0, 0.0)
"""No bolt is turned: nothing is foretold on the page on loads."""


@dataclass(frozen=True, slots=True)
class MomentUncertainty:
    """How sure the moment is.

    Attributes:
        budget: the uncertainties of it, N·m.
        most: the number of the bow that has the largest part in it.
    """

    budget: Budget
    most: Parameter


@dataclass(frozen=True, slots=True)
class StringPull:
    """The string's pull on one limb, with both bolts where they stand and the bow at the reader's draw length.

    Attributes:
        limb: "upper" or "lower".
    """

    bow: BowInputs
    drawn: DrawnBow
    limb: str

    @property
    def half(self) -> Half:
        """The limb that is looked at."""
        return self.drawn.upper if self.limb == "upper" else self.drawn.lower

    @property
    def moment(self) -> float:
        """About the fulcrum, N·m."""
        return self.half.moment

    @property
    def lever(self) -> float:
        """From the fulcrum to the line of the string, m."""
        return self.half.moment / self.half.tension

    @property
    def angle(self) -> float:
        """Between this limb's part of the string and the line of the draw, rad."""
        up = 1.0 if self.limb == "upper" else -1.0
        return math.pi / 2 + self.half.string_angle + up * self.drawn.angle

    @property
    def weight(self) -> float:
        """The draw weight that goes with it, N: as it was weighed once, or by all scale readings."""
        return self.drawn.force

    def uncertainty(self) -> MomentUncertainty:
        """How sure the moment is: slow at first, kept then.

        Raises:
            FitError: where the bow has no answer about where its bolts stand.
        """
        what = f"{self.limb}_moment"
        found = uncertainty_of(self.bow)
        most, _ = max(found.shares(what, AS_IT_STANDS, whole=True), key=lambda each: abs(each[1]))
        return MomentUncertainty(found.budget_of(what, AS_IT_STANDS, whole=True), most)


def pull(values: Values, limb: str, fields: tuple[str, ...]) -> StringPull:
    """Take the bow out of a record, for a form of these fields, and draw it.

    Raises:
        Refusal: where the entries give no bow.
    """
    try:
        bow = bow_inputs(values, fields)
        return StringPull(bow, as_it_is(bow.setup, bow.draw).drawn, limb)
    except BowInputsError as error:
        raise Refusal((in_form(error, fields),)) from None
    except FitError as error:
        raise Refusal((Problem("draw_length", f"{BY_NAME['draw_length'].label}: {error}"),)) from None
