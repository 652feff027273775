"""The way from where the bolts stand to another setting, in rounds: string off, turn, string, measure.

No round turns a bolt by more than half a turn, and there are as few rounds as that leaves. The bolt with farther to go
makes half turns, and what is left in the last round; the other one is never turned farther in a round than it, so that
tiller never goes beyond where it is to end. How the other one's quarters are shared out is free: in as many rounds as
can be draw weight, or else tiller, changes by more than the band within which its reading is held against what is
foretold. Of ways that are alike in that, the one that turns sooner.

Brace height and tiller are measured in every round. The bow is weighed where its weight has changed by more than the
band since it was weighed last, and at the end: a weighing inside the band could tell nothing (model.md 5).

Turns count out from zero; SI.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from enum import Enum

from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT, Course, Prediction
from quarterturn.numbers import at_most

QUARTER = 0.25
LARGEST_STEP = 0.5
"""No step turns a bolt by more (common practice, no source)."""
_MOST = round(LARGEST_STEP / QUARTER)

Foretold = Callable[[Pair, str], float]
"""What is foretold at a setting of draw weight or tiller, by name."""


class WeighReason(Enum):
    """Whether the bow is weighed after a step, and why.

    TELLS: a scale can tell the weight there from the one that was weighed last. LAST: it can not, but the step is the
    last one. UNSURE: how sure it is what turns do cannot be computed, so it is weighed. NOT: it could tell nothing.
    """

    TELLS = "tells"
    LAST = "last"
    UNSURE = "unsure"
    NOT = "not"


@dataclass(frozen=True, slots=True)
class Step:
    """One step: how far each bolt is turned, where they stand after it, and what should be read then.

    Brace height and tiller are read after every step, the weight as `weighing` says. A step that is not the `last` ends
    where it does because it turns a bolt by half a turn.
    """

    change: Pair
    turns: Pair
    weight: Prediction
    tiller: Prediction
    brace_height: Prediction
    last: bool
    weighing: WeighReason


class Discernment:
    """Which changes a reading could tell, as sure as it is known by now what turns do."""

    def __init__(self, course: Course, foretold: Foretold) -> None:
        self._course, self._foretold = course, foretold
        self._learned = {what: course.learned(what) for what in WHAT[:2]}

    @property
    def known(self) -> bool:
        """Whether it is known how sure it is what turns do."""
        return all(self._course.prior(what) is not None for what in self._learned)

    def band(self, what: str, there: Pair, since: Pair | None = None) -> float:
        """Within what a reading there is held against what is foretold, k = 2; infinite where that is not known.

        It is foretold from the newest reading, or from one still to come where the bolts stand at `since`.
        """
        if self._course.prior(what) is None:
            return math.inf
        told = self._learned[what]
        if since is not None:
            told = replace(told, anchor=replace(told.anchor, turns=since), middle=since)
        return self._course.expanded(told, what, there)

    def tells(self, what: str, there: Pair, since: Pair | None = None) -> bool:
        """Whether this is foretold to change by more than the band from what was read last."""
        if since is None:
            anchor = self._learned[what].anchor
            read = anchor.get(what)
            before = self._course.at(anchor.turns, what) if read is None else read
        else:
            before = self._foretold(since, what)
        return not at_most(abs(self._foretold(there, what) - before), self.band(what, there, since))

    def weighing(self, there: Pair, since: Pair | None = None, *, last: bool) -> WeighReason:
        """Whether the bow is weighed there."""
        if not self.known:
            return WeighReason.UNSURE
        if self.tells("weight", there, since):
            return WeighReason.TELLS
        return WeighReason.LAST if last else WeighReason.NOT


def steps_to(start: Pair, end: Pair) -> int:
    """So many steps lead from one pair of places to another."""
    return math.ceil(max(abs(there - here) for here, there in zip(start, end, strict=True)) / LARGEST_STEP - 1e-9)


def steps_of(course: Course, places: Iterable[Pair]) -> tuple[Step, ...]:
    """The steps from where the bolts stand along these places, with what to measure and to expect after each."""
    steps: list[Step] = []
    listed, discernment = tuple(places), Discernment(course, course.value_at)
    here, weighed = course.now.turns, None
    for number, there in enumerate(listed, 1):
        last = number == len(listed)
        weighing = discernment.weighing(there, weighed, last=last)
        change = there[0] - here[0], there[1] - here[1]
        weight, tiller, brace_height = (course.foretell(there, what) for what in WHAT)
        steps.append(Step(change, there, weight, tiller, brace_height, last, weighing))
        here, weighed = there, weighed if weighing is WeighReason.NOT else there
    return tuple(steps)


# The places on the way


def places_to(course: Course, end: Pair, foretold: Foretold) -> tuple[Pair, ...]:
    """Where the bolts stand after each step from where they stand now to a pair that is whole quarters away."""
    start = course.now.turns
    counts = [round((there - here) / QUARTER) for here, there in zip(start, end, strict=True)]
    far = 0 if abs(counts[0]) >= abs(counts[1]) else 1
    more, less = abs(counts[far]), abs(counts[1 - far])
    farther = (*[_MOST] * (more // _MOST), *[more % _MOST][: more % _MOST])
    signs = [math.copysign(QUARTER, each) for each in counts]

    def at(quarters: tuple[int, ...]) -> Pair:
        """Where they stand when the other bolt was turned by these."""
        made = [sum(farther[: len(quarters)]), sum(quarters)]
        one, two = (
            here + sign * made[(bolt + far) % 2] for bolt, (here, sign) in enumerate(zip(start, signs, strict=True))
        )
        return one, two

    shared = _shared(farther, less, at, course, foretold)
    return (*(at(shared[:number]) for number in range(1, len(shared))), end) if shared else ()


@dataclass(frozen=True, slots=True)
class _Begun:
    """A way as far as it goes.

    Attributes:
        told: so many of its rounds can tell something.
        quarters: of the bolt with less to go, in each round.
        weighed: where it was weighed last; None where that is before the first round.
    """

    told: int
    quarters: tuple[int, ...]
    weighed: Pair | None


def _shared(
    farther: tuple[int, ...], less: int, at: Callable[[tuple[int, ...]], Pair], course: Course, foretold: Foretold
) -> tuple[int, ...]:
    """How many quarters the bolt with less to go is turned in each round.

    The ways are begun together, round by round. Of those that stand at one place and were weighed at one place last,
    the best so far is the only one that can become the best: it alone goes on.
    """
    if len(farther) < 2 or less in (0, sum(farther)):
        return tuple([min(most, less) for most in farther])
    discernment = Discernment(course, foretold)
    begun = [_Begun(0, (), None)]
    for number, most in enumerate(farther, 1):
        best: dict[tuple[int, Pair | None], _Begun] = {}
        for one in begun:
            left = less - sum(one.quarters)
            for turned in range(max(0, left - sum(farther[number:])), min(most, left) + 1):
                there = _gone_on(one, turned, at, discernment)
                key = left - turned, there.weighed
                if key not in best or _rank(there) > _rank(best[key]):
                    best[key] = there
        begun = list(best.values())
    return max(begun, key=_rank).quarters


def _gone_on(one: _Begun, turned: int, at: Callable[[tuple[int, ...]], Pair], discernment: Discernment) -> _Begun:
    """A way with one more round, which turns the bolt with less to go by so many quarters."""
    quarters = (*one.quarters, turned)
    there = at(quarters)
    weighed = discernment.tells("weight", there, one.weighed)
    told = weighed or discernment.tells("tiller", there, at(one.quarters) if one.quarters else None)
    return _Begun(one.told + told, quarters, there if weighed else one.weighed)


def _rank(one: _Begun) -> tuple[int, tuple[int, ...]]:
    return one.told, one.quarters
