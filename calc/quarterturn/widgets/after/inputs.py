"""What the page for after the change works with: the bow, its draw weight before and after, the arrow."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from quarterturn.bench import arrows, nocking
from quarterturn.bench.arrows import MassCheck, MassJudgement
from quarterturn.bench.bow_setup import Pair, slope_up_to
from quarterturn.bench.events import line_days, own_day, times_set_anew
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.log import log_of
from quarterturn.bench.outcomes import outcome
from quarterturn.bench.positions import Positions
from quarterturn.bench.shape import pitch_and_resolution
from quarterturn.numbers import rounded
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets.bow_form import TURNED
from quarterturn.widgets.turn_prediction import TurnPrediction, predict, predict_since_measured


@dataclass(frozen=True, slots=True)
class BowChange:
    """A bow before and after a change.

    Attributes:
        prediction: the bow, the turn, and what is foretold of it.
        before: draw weight before, N.
        after: draw weight after, N; None where it was not weighed and nothing is foretold.
        by: what the weight after is from: "weighed", "foretold", "same" (nothing is turned) or "" (there is none).
        weighed_to: standard uncertainty of one weighing, N.
        mass: of an arrow; None where the bow is the reader's and no arrow was entered.
        least: mass of an arrow for the draw weight that is wanted at least, kg/N.
        spine: of a shaft, m; None as `mass`.
        over: how far the nocking point lay over square, m; None as `mass`.
        since: what was measured since the change, by name, SI.
        by_log: whether the change is the one of the reader's log.
        line_anew: whether the line of the limbs was set anew since, so that tiller is not compared with what it was.
        turns: whether steps are told.
    """

    prediction: TurnPrediction
    before: float
    after: float | None
    by: str
    weighed_to: float
    mass: float | None
    least: float
    spine: float | None
    over: float | None
    since: Mapping[str, float]
    by_log: bool
    line_anew: bool
    turns: bool

    @property
    def values(self) -> Values:
        """The record's values."""
        return self.prediction.values

    @property
    def weight(self) -> float:
        """The draw weight that the arrow is held against: after the change, where that is known."""
        return self.before if self.after is None else self.after

    @property
    def ratio(self) -> float:
        """Draw weight after over that before."""
        return self.weight / self.before

    @property
    def own_weight(self) -> bool:
        """Whether the draw weight is the reader's."""
        return weight_entered(self.values) or "weight" in self.since

    @property
    def by_maker(self) -> bool:
        """Whether the least mass is the limb maker's."""
        return self.values.entered("least_mass_per_pound")

    @property
    def uncertainty(self) -> float:
        """By how much the draw weight may be more, N: the weighing's, and half of a change that is only foretold."""
        changed = abs(self.weight - self.before) / 2 if self.by == "foretold" else 0.0
        return math.hypot(2 * self.weighed_to, changed)

    @property
    def held(self) -> MassCheck | None:
        """The arrow against the least mass, after the change; None without an arrow."""
        return None if self.mass is None else arrows.held(self.mass, self.weight, self.least, self.uncertainty)

    @property
    def stopped(self) -> MassJudgement | None:
        """What is wrong with the reader's own arrow on the reader's own bow; None where nothing is."""
        found = self.held
        if found is None or not self.own_weight or not self.values.entered("arrow_mass"):
            return None
        return None if found.judged is MassJudgement.ENOUGH else found.judged

    @property
    def nock(self) -> nocking.NockingReading:
        """The nocking point's reading, and the rest that it was read from."""
        values = self.values
        told = values.choice("draw_station") in ("plunger", "rest")
        return nocking.NockingReading(
            over=values.number("nocking_point"),
            x=-values.number("station_offset") if told else 0.0,
            x_off=nocking.PLACE_KNOWN if told else nocking.PLACE_TAKEN,
        )

    def head_turns(self, bolt: str) -> float:
        """Turns out since the bolt's head was measured, this turn among them; where it was not, this turn alone."""
        at = BOLTS.index(bolt)
        since = 0.0 if self.values.optional(f"{bolt}_height_now") is None else self.prediction.since[at]
        return since + self.prediction.change[at]

    def head_change(self, bolt: str) -> float:
        """By how much more a head is over the riser's face after these turns, m."""
        pitch, _ = pitch_and_resolution(self.values)
        return pitch.value * self.head_turns(bolt)


def bow_change(values: Values, fields: tuple[str, ...], judgement: Judgement) -> BowChange:
    """Take it all out of a record, for a form of these fields.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    logged = _logged(values, judgement.positions)
    shown = predict(values, fields) if logged is None else predict_since_measured(values, fields, logged.change)
    before = outcome(shown.now).weight
    since = {} if logged is None else dict(logged.read)
    entered = {"weight": values.optional("weight_after"), "brace_height": values.optional("brace_after")}
    since |= {name: read for name, read in entered.items() if read is not None}
    weighed = since.get("weight")
    if shown.then is None and shown.turned:
        found, by = weighed, ""
    elif weighed is not None:
        found, by = weighed, "weighed"
    elif shown.then is not None:
        found, by = outcome(shown.then).weight, "foretold" if shown.turned else "same"
    else:
        found, by = None, ""
    own = weight_entered(values) or weighed is not None
    return BowChange(
        prediction=shown,
        before=before,
        after=found,
        by=by,
        weighed_to=_weighed_to(shown),
        mass=_taken(values, "arrow_mass", own=own),
        least=values.optional("least_mass_per_pound") or arrows.GENERAL_LEAST,
        spine=_taken(values, "arrow_spine", own=own),
        over=_taken(values, "nocking_point", own=not shown.example),
        since=since,
        by_log=logged is not None,
        line_anew=_line_anew(values),
        turns=judgement.turns,
    )


@dataclass(frozen=True, slots=True)
class _LogTurn:
    """The turn that the log tells, from where the worksheet has the bolts; what it has of readings since, SI."""

    change: Pair
    read: Mapping[str, float]


def _logged(values: Values, found: Positions) -> _LogTurn | None:
    """What the log tells of the change; None where it tells of none, or the reader looks at another turn."""
    if any(values.entered(name) for name in TURNED) or not values.rows("log"):
        return None
    if not found.moved or any(bolt.at is None or bolt.counted is None for bolt in found.bolts):
        return None
    upper, lower = (rounded((bolt.at or 0.0) - (bolt.counted or 0.0)) for bolt in found.bolts)
    names = ("weight", "upper_tiller", "lower_tiller", "brace_height", "tiller")
    read = {name: getattr(found.measured, name) for name in names}
    return _LogTurn((upper, lower), {name: value for name, value in read.items() if value is not None})


def _line_anew(values: Values) -> bool:
    """Whether the newest tiller is of another line of the limbs than the worksheet's."""
    anew = line_days(values)
    if not anew:
        return False
    own = times_set_anew(own_day(values), anew)
    read = [entry.day for entry in log_of(values).entries if entry.tiller is not None]
    return own != (times_set_anew(read[-1], anew) if read else len(anew))


def weight_entered(values: Values) -> bool:
    """Whether a draw weight of the reader's own was entered."""
    return any(values.entered(name) for name in ("weight_after", "draw_weight", "scale_readings"))


def _taken(values: Values, name: str, *, own: bool) -> float | None:
    """As entered; the example's beside an example's bow, and none beside the reader's own."""
    return values.optional(name) if own or values.entered(name) else values.number(name)


def _weighed_to(shown: TurnPrediction) -> float:
    """The standard uncertainty of one weighing by the reader's scale, at the reader's draw length, N."""
    values, bow = shown.values, shown.bow
    slope = slope_up_to(bow.setup, bow.draw, shown.now.drawn.force)
    return math.hypot(values.number("scale_step"), slope * values.number("draw_step")) / math.sqrt(3)
