"""Which setting comes nearest to what is wanted, and the way to it.

Every pair of places a quarter of a turn apart inside both windows is looked at, so that the answer is the best there
is. All of them are estimated from a few that are solved, by polynomials over the limbs' rock angles, in which the bow
is smooth; what is chosen, and what comes near it, is solved itself, and the estimate's error there is told.

Turns count out from zero; SI.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.bench.bow_asked import BowAsked, Pair, foretold
from quarterturn.bench.bow_doubt import outcome
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.course import WHAT, Course, Foretold
from quarterturn.bench.window import Window
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import same, settle

QUARTER = 0.25
LARGEST_STEP = 0.5
"""No step turns a bolt by more (common practice, no source)."""
NODES = 3
"""So many places of either bolt are solved for the estimate."""
SOLVED = 8
"""So many of the best by the estimate are solved."""
ALIKE = 1e-6
"""Costs nearer than this, m of tiller, are alike: the pair that is reached by fewer turns is better."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted; a number that was not given is wanted as it is.

    Attributes:
        worth: so much tiller, m, counts as much as a newton of draw weight.
    """

    weight: float
    tiller: float
    worth: float

    def cost(self, weight: float, tiller: float) -> float:
        """How far this is from what is wanted, in m of tiller."""
        return math.hypot((weight - self.weight) * self.worth, tiller - self.tiller)


@dataclass(frozen=True, slots=True)
class Place:
    """A pair of places of the bolts, and what is foretold there.

    Attributes:
        turns: out from zero.
        change: from where the bolts stand.
        solved: whether the bow was solved there, or estimated.
    """

    turns: Pair
    change: Pair
    weight: float
    tiller: float
    brace_height: float
    cost: float
    solved: bool

    @property
    def turned(self) -> float:
        """Turns of both bolts together."""
        return abs(self.change[0]) + abs(self.change[1])


@dataclass(frozen=True, slots=True)
class Error:
    """By how much the estimate was off, at most, where the bow was solved and no node stood: N, m, m; at so many."""

    weight: float
    tiller: float
    brace_height: float
    places: int


@dataclass(frozen=True, slots=True)
class Plan:
    """The best pair, those after it, and all that were looked at.

    Attributes:
        best: solved.
        next: the runners-up, solved, the better first; the place where the bolts stand is among them or the best.
        places: every pair inside both windows.
        here: where the bolts stand.
        reached: whether the best is as near as steps of a quarter of a turn and the readings can tell.
        off: what the best has more than what is wanted: weight and tiller.
        near: how near counts as reached.
    """

    wish: Wish
    best: Place
    next: tuple[Place, ...]
    places: tuple[Place, ...]
    here: Place
    error: Error
    reached: bool
    off: Pair
    near: Pair

    @property
    def weights(self) -> Pair:
        """The least and the greatest draw weight inside both windows."""
        found = [one.weight for one in self.places]
        return min(found), max(found)

    @property
    def tillers(self) -> Pair:
        """The least and the greatest tiller inside both windows."""
        found = [one.tiller for one in self.places]
        return min(found), max(found)


class NoPlan(ValueError):  # noqa: N818 - it reads as what it says
    """There is no plan; the sentence says why."""


def grid(window: Window, now: float) -> tuple[float, ...]:
    """The places of a bolt inside its window, a quarter of a turn apart, counted from where it stands."""
    least = math.ceil((window.inner.usable - now) / QUARTER - 1e-9)
    most = math.floor((window.outer.usable - now) / QUARTER + 1e-9)
    return tuple(now + QUARTER * count for count in range(least, most + 1))


def find(bow: BowAsked, course: Course, wish: Wish) -> Plan:
    """Look at every pair inside both windows.

    Raises:
        NoPlan: there are no windows, a bolt stands outside its own, or the bow has no answer inside them.
    """
    now = course.now.turns
    if bow.windows is None:
        raise NoPlan(f"There is no plan without both windows. {bow.no_window}")
    beyond = bow.outside(now)
    if beyond:
        raise NoPlan(
            f"The {beyond[0]} bolt stands outside its window. It is brought back first, as the worksheet says; then "
            "measure again and plan."
        )
    upper, lower = (grid(window, place) for window, place in zip(bow.windows, now, strict=True))
    estimate = _Estimate(bow, upper, lower)
    scales = {what: _scale(course, what) for what in WHAT}
    places = tuple(
        _place(estimate.at((one, two)), (one, two), now, scales, wish, False) for one in upper for two in lower
    )
    hopeful = sorted(places, key=_order)[:SOLVED]
    here = _solved(bow, now, now, scales, wish)
    solved = {one.turns: _solved(bow, one.turns, now, scales, wish) for one in hopeful}
    solved[here.turns] = here
    ranked = sorted(solved.values(), key=_order)
    best = ranked[0]
    off = best.weight - wish.weight, best.tiller - wish.tiller
    near = _tolerances(course, best, places)
    reached = all(abs(each) <= tolerance for each, tolerance in zip(off, near, strict=True))
    error = _error(places, solved, estimate)
    return Plan(wish, best, tuple(ranked[1:5]), places, here, error, reached, off, near)


def _order(place: Place) -> tuple[float, float, Pair]:
    return round(place.cost / ALIKE), settle(place.turned), place.turns


def _scale(course: Course, what: str) -> tuple[float, float, float]:
    """What was read, what is computed there, and the factor: foretold is first + factor·(computed − second)."""
    anchor = course.anchor(what)
    computed = course.at(anchor.turns, what)
    read = anchor.get(what)
    return computed if read is None else read, computed, course.times(what)


def _place(
    computed: dict[str, float],
    turns: Pair,
    now: Pair,
    scales: dict[str, tuple[float, float, float]],
    wish: Wish,
    solved: bool,
) -> Place:
    found = {what: scales[what][0] + scales[what][2] * (computed[what] - scales[what][1]) for what in WHAT}
    return Place(
        turns,
        (turns[0] - now[0], turns[1] - now[1]),
        found["weight"],
        found["tiller"],
        found["brace_height"],
        wish.cost(found["weight"], found["tiller"]),
        solved,
    )


def _computed(bow: BowAsked, turns: Pair) -> dict[str, float]:
    try:
        found = outcome(foretold(bow.setup, bow.draw, turns))
    except (FitError, PocketError) as error:
        raise NoPlan(f"The bow has no answer at one of the places inside the windows. {error}") from None
    return {what: float(getattr(found, what)) for what in WHAT}


def _solved(bow: BowAsked, turns: Pair, now: Pair, scales: dict[str, tuple[float, float, float]], wish: Wish) -> Place:
    return _place(_computed(bow, turns), turns, now, scales, wish, True)


class _Estimate:
    """The bow over both windows, from a few places that were solved: polynomials over the rock angles."""

    def __init__(self, bow: BowAsked, upper: tuple[float, ...], lower: tuple[float, ...]) -> None:
        self._rock = bow.setup.rock
        self.nodes = _nodes(upper), _nodes(lower)
        self._angles = (
            tuple(self._rock((place, self.nodes[1][0]))[0] for place in self.nodes[0]),
            tuple(self._rock((self.nodes[0][0], place))[1] for place in self.nodes[1]),
        )
        self._known = {(one, two): _computed(bow, (one, two)) for one in self.nodes[0] for two in self.nodes[1]}

    def at(self, turns: Pair) -> dict[str, float]:
        """The computed numbers at a pair of places."""
        angles = self._rock(turns)
        upper, lower = (_weights(known, angle) for known, angle in zip(self._angles, angles, strict=True))
        found = dict.fromkeys(WHAT, 0.0)
        for one, by_upper in zip(self.nodes[0], upper, strict=True):
            for two, by_lower in zip(self.nodes[1], lower, strict=True):
                known, part = self._known[(one, two)], by_upper * by_lower
                for what in WHAT:
                    found[what] += part * known[what]
        return found


def _nodes(places: tuple[float, ...]) -> tuple[float, ...]:
    """The first, the middle and the last, or as many as there are."""
    picked = {0, (len(places) - 1) // 2, len(places) - 1}
    return tuple(places[at] for at in sorted(picked))


def _weights(nodes: tuple[float, ...], angle: float) -> list[float]:
    """Of each node in the polynomial through all (Lagrange); nodes at one angle count as one."""
    found = []
    for at, here in enumerate(nodes):
        if any(same(here, other) for other in nodes[:at]):
            found.append(0.0)
            continue
        part = 1.0
        for place, other in enumerate(nodes):
            if place != at and not same(here, other) and not any(same(other, one) for one in nodes[:place]):
                part *= (angle - other) / (here - other)
        found.append(part)
    return found


def _error(places: tuple[Place, ...], solved: dict[Pair, Place], estimate: _Estimate) -> Error:
    off: dict[str, list[float]] = {what: [0.0] for what in WHAT}
    count = 0
    for one in places:
        if one.turns not in solved or (one.turns[0] in estimate.nodes[0] and one.turns[1] in estimate.nodes[1]):
            continue
        count += 1
        for what in WHAT:
            off[what].append(abs(getattr(one, what) - getattr(solved[one.turns], what)))
    return Error(max(off["weight"]), max(off["tiller"]), max(off["brace_height"]), count)


def _tolerances(course: Course, best: Place, places: tuple[Place, ...]) -> Pair:
    """As near as a quarter of a turn of one bolt can come, or as a reading can tell, whichever is more."""
    weight, tiller = course.read_to["weight"], course.read_to["tiller"]
    for one in places:
        if same(abs(one.turns[0] - best.turns[0]) + abs(one.turns[1] - best.turns[1]), QUARTER):
            weight = max(weight, abs(one.weight - best.weight) / 2)
            tiller = max(tiller, abs(one.tiller - best.tiller) / 2)
    return weight, tiller


# The way


@dataclass(frozen=True, slots=True)
class Step:
    """One step: how far each bolt is turned, where they stand after it, and what should be read then."""

    change: Pair
    turns: Pair
    weight: Foretold
    tiller: Foretold
    brace_height: Foretold


def steps_to(start: Pair, end: Pair) -> int:
    """So many steps lead from one pair of places to another."""
    return math.ceil(max(abs(there - here) for here, there in zip(start, end, strict=True)) / LARGEST_STEP - 1e-9)


def way(course: Course, end: Pair) -> tuple[Step, ...]:
    """The steps from where the bolts stand to a pair of places, none over half a turn of a bolt; none where it is."""
    steps = []
    here = course.now.turns
    for _ in range(steps_to(here, end)):
        change = first_step(here, end)
        here = (here[0] + change[0], here[1] + change[1])
        steps.append(Step(change, here, *(course.foretell(here, what) for what in WHAT)))
    return tuple(steps)


def first_step(start: Pair, end: Pair) -> Pair:
    """How far each bolt is turned in the first step from one pair of places to another."""
    left = (end[0] - start[0], end[1] - start[1])
    one, two = (0.0 if same(rest, 0.0) else math.copysign(min(LARGEST_STEP, abs(rest)), rest) for rest in left)
    return one, two
