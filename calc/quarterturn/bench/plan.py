"""Which setting comes nearest to what is wanted, and the way to it.

Every pair of places a quarter of a turn apart inside both windows is looked at, so that the answer is the best there
is. All of them are estimated from the four corners of the windows: what the bow gives there, and how that goes with
the limbs' rock angles, in which it is smooth. How far the estimate is off is seen where it is worst, between the
corners; pairs are then solved themselves, the most hopeful first, until none of the others can come among the best even
where it is off by twice that.

Turns count out from zero; SI.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cached_property

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT, Course
from quarterturn.bench.estimate import Estimate, Numbers, computed
from quarterturn.bench.way import QUARTER, Discernment, places_to
from quarterturn.bench.window import Window
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import at_most, rounded, same
from quarterturn.record.fields import BOLTS

PROBES = ((1 / 3, 1 / 3), (2 / 3, 2 / 3), (1 / 2, 0.0), (0.0, 1 / 2))
"""Where the estimate is worst, as shares of the upper and the lower window from its inner end."""
RANKED = 5
"""So many are ranked, the best among them; all solved."""
MOST_SOLVED = 60
"""No more of the hopeful are solved than so many."""
TWICE = 2.0
"""By so many times what it was seen to be off the estimate is taken to be off at most."""
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


@dataclass(slots=True)  # not frozen: hundreds are made, which that would slow five times
class PlacePair:
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
    """By how much the estimate was off, at most, at so many pairs that were solved and that it does not go through.

    Some of them lie where it is worst. N, m, m of what is foretold.
    """

    weight: float
    tiller: float
    brace_height: float
    places: int


@dataclass(frozen=True)
class Plan:
    """The best pair, those after it, and all that were looked at.

    Attributes:
        best: solved.
        way: where the bolts stand after each step to it, solved; none where they stand there, or the plan is settled.
        places: every pair inside both windows, solved or estimated.
        here: where the bolts stand, solved.
        reached: whether the best is as near as steps of a quarter of a turn, or the readings, can tell.
        within: whether some pair is near, be it that another is better as the two wishes are weighed.
        off: what the best has more than what is wanted: weight and tiller.
        near: within so much of either, what is wanted is called near.
        settled: whether the bolts stand where the plan led, and no reading could tell the best from there.
    """

    wish: Wish
    best: PlacePair
    way: tuple[Pair, ...]
    places: tuple[PlacePair, ...]
    here: PlacePair
    error: Error
    reached: bool
    within: bool
    off: Pair
    near: Pair
    _look: _Search
    settled: bool = False

    @cached_property
    def next(self) -> tuple[PlacePair, ...]:
        """The runners-up, solved, the better first, none where the bow has no answer; found when they are asked for."""
        others = [one for one in _ranked(self._look, RANKED, self._look.tried) if one.turns != self.best.turns]
        return tuple(others[: RANKED - 1])

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
    least = math.floor((window.inner.usable - now) / QUARTER)
    most = math.ceil((window.outer.usable - now) / QUARTER)
    return tuple(place for count in range(least, most + 1) if window.holds(place := now + QUARTER * count))


def find(bow: BowInputs, course: Course, wish: Wish) -> Plan:
    """Look at every pair inside both windows.

    Raises:
        NoPlan: there are no windows, a bolt stands outside its own, or the bow has no answer inside them.
    """
    now = course.now.turns
    if bow.windows is None:
        raise NoPlan(f"There is no plan without both safe ranges. {bow.no_window}".rstrip())
    beyond = bow.outside(now)
    if beyond:
        raise NoPlan(_outside(bow.windows, beyond))
    try:
        look = _Search(bow, course, wish)
        here = look.solved(now)
        _probe(look)
        best = _ranked(look, 1, look.solved)[0]
        way = places_to(course, best.turns, look.foretold)
        for step in way:
            look.solved(step)
    except (FitError, PocketError) as error:
        raise NoPlan(f"The bow cannot be computed at one of the settings inside the safe ranges. {error}") from None
    places = look.places()
    off = best.weight - wish.weight, best.tiller - wish.tiller
    step = _by_quarters(best, places)
    near, next_to = (_or_readings(course, part, step) for part in (0.5, 1.0))
    within = any(_so_near(one, wish, near) for one in places)
    reached = within and _so_near(best, wish, next_to)
    return Plan(wish, best, way, places, here, look.error(), reached, within, off, near, look)


def go_on(bow: BowInputs, course: Course, wish: Wish) -> Plan:
    """As `find`, but a plan that led where the bolts stand ends there until a reading could tell the best from it.

    Every reading moves the best a little, by its error alone. A step that changes neither draw weight nor tiller by
    more than a reading's band could not be told to be nearer by anything that is measured after it.

    Raises:
        NoPlan: as `find`.
    """
    plan = find(bow, course, wish)
    if not plan.way or len(course.reads) == 1 or _could_be_told(course, plan) or not _led_here(bow, course, wish):
        return plan
    return replace(plan, way=(), settled=True)


def _could_be_told(course: Course, plan: Plan) -> bool:
    """Whether weight or tiller changes by more than the band from where the bolts stand to the best; or it may be."""
    found = {one.turns: one for one in (plan.here, plan.best)}
    discernment = Discernment(course, lambda turns, what: float(getattr(found[turns], what)))
    if not discernment.known:
        return True
    return any(discernment.tells(what, plan.best.turns, plan.here.turns) for what in WHAT[:2])


def _led_here(bow: BowInputs, course: Course, wish: Wish) -> bool:
    """Whether the plan at the setting before led to where the bolts stand."""
    here = course.now.turns
    before = list(course.reads)
    while len(before) > 1 and all(map(same, before[-1].turns, here)):
        before.pop()
    try:
        led = find(bow, replace(course, reads=tuple(before)), wish).best.turns
    except NoPlan:
        return False
    return all(map(same, led, here))


def _outside(windows: tuple[Window, Window], beyond: tuple[str, ...]) -> str:
    """Why there is no plan where these bolts have no window, or stand outside it."""
    none = [bolt for bolt, window in zip(BOLTS, windows, strict=True) if window.vanished]
    if none:
        which = "Neither bolt has a safe range" if len(none) > 1 else f"The {none[0]} bolt has no safe range"
        return f"{which}: margin and uncertainty leave nothing of it. So there is no plan."
    if len(beyond) > 1:
        which = "Both bolts are outside their safe ranges. Bring them"
    else:
        which = f"The {beyond[0]} bolt is outside its safe range. Bring it"
    return f"{which} back first, with the string off. Then measure again and plan."


def _so_near(place: PlacePair, wish: Wish, near: Pair) -> bool:
    return at_most(abs(place.weight - wish.weight), near[0]) and at_most(abs(place.tiller - wish.tiller), near[1])


def _probe(look: _Search) -> None:
    """Solve where the estimate is worst."""
    for shares in PROBES:
        one, two = (places[round(share * (len(places) - 1))] for share, places in zip(shares, look.grid, strict=True))
        look.solved((one, two))


def _ranked(look: _Search, number: int, solve: Callable[[Pair], object]) -> list[PlacePair]:
    """So many of the best pairs, solved: the most hopeful first, until none of the rest can be among them."""
    hopeful = sorted(look.estimated.values(), key=lambda one: (one.cost, one.turned, one.turns))
    for count, one in enumerate(hopeful):
        costs = sorted(each.cost for each in look.known.values())
        last = costs[number - 1] if len(costs) >= number else math.inf
        error = look.error()
        reserve = TWICE * math.hypot(error.weight * look.wish.worth, error.tiller) + ALIKE
        if one.cost - reserve > last or count >= MOST_SOLVED:
            break
        solve(one.turns)
    left = sorted((one for one in look.known.values() if one.turns in look.estimated), key=lambda one: one.cost)
    ranked: list[PlacePair] = []
    while left and len(ranked) < number:
        alike = [one for one in left if one.cost <= left[0].cost + ALIKE]
        ranked.append(min(alike, key=lambda one: (rounded(one.turned), one.turns)))
        left.remove(ranked[-1])
    return ranked


class _Search:
    """Every pair inside both windows: estimated, and solved where that was asked for."""

    def __init__(self, bow: BowInputs, course: Course, wish: Wish) -> None:
        self._bow, self._now, self.wish = bow, course.now.turns, wish
        self._predictors = [course.predictor(what) for what in WHAT]
        upper, lower = (grid(window, place) for window, place in zip(bow.windows or (), self._now, strict=True))
        self.grid = upper, lower
        self.estimate = Estimate(bow, self.grid)
        self.known: dict[Pair, PlacePair] = {}
        pairs = [(one, two) for one in self.grid[0] for two in self.grid[1]]
        self.estimated = {turns: self._place(turns, self.estimate.at(turns), False) for turns in pairs}

    def solved(self, turns: Pair) -> PlacePair:
        """The pair, solved."""
        if turns not in self.known:
            self.known[turns] = self._place(turns, computed(self._bow, turns), True)
        return self.known[turns]

    def tried(self, turns: Pair) -> None:
        """Solve the pair; where the bow has no answer it is not known."""
        with suppress(FitError, PocketError):
            self.solved(turns)

    def foretold(self, turns: Pair, what: str) -> float:
        """What is foretold at one of the pairs, or where the bolts stand, of what is named."""
        return float(getattr(self.known.get(turns) or self.estimated[turns], what))

    def _place(self, turns: Pair, found: Numbers, solved: bool) -> PlacePair:
        weight, tiller, brace = [predict(turns, value) for predict, value in zip(self._predictors, found, strict=True)]
        change = turns[0] - self._now[0], turns[1] - self._now[1]
        return PlacePair(turns, change, weight, tiller, brace, self.wish.cost(weight, tiller), solved)

    def places(self) -> tuple[PlacePair, ...]:
        """All pairs, solved where they were."""
        return tuple(self.known.get(turns, one) for turns, one in self.estimated.items())

    def error(self) -> Error:
        """How far the estimate was off."""
        off = dict.fromkeys(WHAT, 0.0)
        count = 0
        for turns, one in self.known.items():
            if turns in self.estimated and not self.estimate.goes_through(turns):
                count += 1
                for what in WHAT:
                    off[what] = max(off[what], abs(getattr(self.estimated[turns], what) - getattr(one, what)))
        return Error(off["weight"], off["tiller"], off["brace_height"], count)


def _by_quarters(best: PlacePair, places: tuple[PlacePair, ...]) -> Pair:
    """What a quarter of a turn of either bolt does to weight and to tiller about the best pair, both bolts together."""
    steps = [[0.0, 0.0], [0.0, 0.0]]
    for one in places:
        apart = [abs(there - here) for there, here in zip(one.turns, best.turns, strict=True)]
        for bolt in range(2):
            if same(apart[bolt], QUARTER) and same(apart[1 - bolt], 0.0):
                steps[bolt][0] = max(steps[bolt][0], abs(one.weight - best.weight))
                steps[bolt][1] = max(steps[bolt][1], abs(one.tiller - best.tiller))
    return steps[0][0] + steps[1][0], steps[0][1] + steps[1][1]


def _or_readings(course: Course, part: float, step: Pair) -> Pair:
    """So much of what quarters of a turn do, or what a reading can tell, whichever is more.

    What is wanted lies between four pairs. One of them is off by half of what a quarter of a turn of either bolt does,
    both together, at most; the nearest as the two wishes are weighed may be another, yet is next to it.
    """
    return max(course.read_to["weight"], part * step[0]), max(course.read_to["tiller"], part * step[1])
