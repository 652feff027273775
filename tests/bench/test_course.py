"""What was read so far, and what is foretold from it.

Outside sources: least squares with findings known beforehand (any textbook; GUM annex H.3 fits a line; S2), solved here
by numpy's lstsq and by whole matrices (C); the mean of two findings weighed by their inverse variances (M, by numpy
C); k = 2 and rectangular readings (GUM 4.3.7, 6.3.3, S2); made bows, solved by bow_fit, whose pocket is another than
the record says (C). That a reading comes from a changed bow where no 0.2 to 3 times the turn explains it: our own rule.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.asking import COMPLETE, changed, values, windows
from helpers.effects import effects_of
from quarterturn.bench import bow_fit
from quarterturn.bench import course as course_module
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_numbers import individual, moved
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow
from quarterturn.bench.bow_uncertainty import uncertainty_of
from quarterturn.bench.course import WHAT, Course, Prior, SettingReading, course_of
from quarterturn.bench.outcomes import outcome
from quarterturn.widgets.plan.form import ASKED

ROOT3 = math.sqrt(3)
READ_TO = {"weight": 0.3, "tiller": 0.6, "brace_height": 0.5}
TURN: dict[str, Pair] = {"weight": (-2.0, -2.2), "tiller": (4.7, -5.0), "brace_height": (0.8, 1.1)}
"""What a turn out does on a bow that is all straight lines (made up)."""
COVARIANCE = {"weight": (0.2, 0.1, 0.25), "tiller": (0.9, -0.6, 1.1), "brace_height": (0.04, 0.03, 0.06)}
"""Variances and covariance of it (made up)."""
OWN: dict[str, Any] = COMPLETE | {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}


def straight(turns: Pair, what: str) -> float:
    """A computed bow that goes with the turns, with a little bend in it."""
    upper, lower = TURN[what]
    return 100 + upper * turns[0] + lower * turns[1] + 0.05 * turns[0] * turns[1] + 0.03 * turns[0] ** 2


def course(*reads: SettingReading, by: str = "both", **more: Any) -> Course:
    said: dict[str, Any] = {
        "reads": reads,
        "at": straight,
        "inside": lambda turns: max(map(abs, turns)) <= 5,
        "prior": lambda what: Prior(TURN[what], COVARIANCE[what]),
        "read_to": READ_TO,
        "by": by,
    }
    return Course(**(said | more))


def read(
    turns: Pair, weight: float | None = None, tiller: float | None = None, brace: float | None = None
) -> SettingReading:
    return SettingReading(turns, weight, tiller, brace)


def off(turns: Pair, **by: float) -> SettingReading:
    """A setting at which this is read more than is computed; what is not named is not read."""
    found = {what: straight(turns, what) + by[what] if what in by else None for what in WHAT}
    return SettingReading(turns, found["weight"], found["tiller"], found["brace_height"])


START = off((2.0, 1.5), weight=0.0, tiller=0.0, brace_height=0.0)


def matrix(square: tuple[float, float, float]) -> Any:
    return np.array([[square[0], square[1]], [square[1], square[2]]])


def arrays(reads: tuple[SettingReading, ...], what: str) -> tuple[Any, Any]:
    """Settings, and by how much more was read than computed, of the readings of one thing."""
    found = [(one.turns, one.get(what)) for one in reads]
    there = [(turns, value - straight(turns, what)) for turns, value in found if value is not None]
    return np.array([turns for turns, _ in there]), np.array([value for _, value in there])


def by_numpy(reads: tuple[SettingReading, ...], what: str, prior: Any) -> tuple[Any, Any]:
    """What a turn does more, and how sure that is: lstsq over the readings and, as two rows more, what was known."""
    turns, value = arrays(reads, what)
    u = READ_TO[what] / ROOT3
    root = np.linalg.cholesky(np.linalg.inv(prior)).T
    rows = np.vstack([np.column_stack([np.ones(len(value)), turns]) / u, np.column_stack([np.zeros(2), root])])
    right = np.concatenate([value / u, np.zeros(2)])
    found = np.linalg.lstsq(rows, right, rcond=None)[0]
    return found[1:], np.linalg.inv(rows.T @ rows)[1:, 1:]


def some_reads(seed: int, count: int = 6) -> tuple[SettingReading, ...]:
    """Settings in both directions; what is read differs from what is computed by about its uncertainty; gaps."""
    chance = random.Random(seed)
    found = [START]
    true = {
        what: np.linalg.cholesky(matrix(COVARIANCE[what])) @ [chance.gauss(0, 1), chance.gauss(0, 1)] for what in WHAT
    }
    for _ in range(count):
        turns = (round(chance.uniform(-3, 4) * 4) / 4, round(chance.uniform(-3, 4) * 4) / 4)
        apart = np.array(turns) - np.array(START.turns)
        by = {
            what: float(true[what] @ apart) + chance.uniform(-1, 1) * READ_TO[what]
            for what in WHAT
            if chance.random() < 0.8
        }
        found.append(off(turns, **by))
    return tuple(found)


# By the bow alone


@pytest.mark.parametrize("by", ["bow", "readings", "both"])
def test_from_one_setting_the_computed_change_is_added_to_what_was_read(by: str) -> None:
    shown = course(read((2.0, 1.5), 170.0, 4.0, 222.0), by=by)
    for what, start in (("weight", 170.0), ("tiller", 4.0), ("brace_height", 222.0)):
        told = shown.foretell((1.0, 1.75), what)
        assert told.value == pytest.approx(start + straight((1.0, 1.75), what) - straight((2.0, 1.5), what), abs=1e-12)
        # The turn's uncertainty by its covariance, the first reading's and the next one's; k = 2.
        apart = np.array([-1.0, 0.25])
        change = apart @ matrix(COVARIANCE[what]) @ apart
        assert told.expanded == pytest.approx(2 * math.sqrt(change + 2 * READ_TO[what] ** 2 / 3), rel=1e-12)
        turns = shown.turn(what)
        assert turns is not None
        assert [one.by for one in turns] == ["bow", "bow"]
        assert [one.value for one in turns] == list(TURN[what])
        assert [one.times for one in turns] == [1, 1]
        assert [one.uncertainty**2 for one in turns] == pytest.approx([COVARIANCE[what][0], COVARIANCE[what][2]])
    assert shown.checks() == ()


@pytest.mark.parametrize("seed", range(4))
def test_by_the_bow_readings_teach_nothing_and_the_newest_is_where_it_goes_on_from(seed: int) -> None:
    reads = some_reads(seed)
    shown = course(*reads, by="bow")
    for what in WHAT:
        newest = [one for one in reads if one.get(what) is not None][-1]
        assert shown.anchor(what) is newest
        value = newest.get(what)
        assert value is not None
        told = shown.foretell((0.5, 0.25), what)
        assert told.value == pytest.approx(value + straight((0.5, 0.25), what) - straight(newest.turns, what))
        apart = np.array((0.5, 0.25)) - np.array(newest.turns)
        assert told.expanded == pytest.approx(
            2 * math.sqrt(apart @ matrix(COVARIANCE[what]) @ apart + 2 * READ_TO[what] ** 2 / 3)
        )
        assert shown.learned(what).more == (0, 0)


def test_where_the_bow_does_not_tell_how_sure_it_is_all_of_the_change_is_uncertain() -> None:
    reads = some_reads(3)
    shown = course(*reads, prior=lambda what: None)
    assert shown.turn("weight") is None
    newest = shown.anchor("weight")
    change = straight((0.0, 0.0), "weight") - straight(newest.turns, "weight")
    told = shown.foretell((0.0, 0.0), "weight")
    assert newest.weight is not None
    assert told.value == pytest.approx(newest.weight + change)
    assert told.expanded == pytest.approx(2 * math.hypot(change, READ_TO["weight"] * math.sqrt(2) / ROOT3))


# Both together


@pytest.mark.parametrize("seed", range(12))
def test_bow_and_readings_together_are_least_squares(seed: int) -> None:
    reads = some_reads(seed)
    shown = course(*reads)
    for what in WHAT:
        if len(arrays(reads, what)[1]) < 2:
            continue
        assert shown.learned(what).set_aside == ()
        more, left = by_numpy(reads, what, matrix(COVARIANCE[what]))
        turns = shown.turn(what)
        assert turns is not None
        assert [one.value for one in turns] == pytest.approx(list(np.array(TURN[what]) + more), rel=1e-9, abs=1e-9)
        assert [one.uncertainty for one in turns] == pytest.approx(
            [math.sqrt(left[0, 0]), math.sqrt(left[1, 1])], rel=1e-9
        )
        assert shown.learned(what).covariance[1] == pytest.approx(left[0, 1], rel=1e-7, abs=1e-12)


@pytest.mark.parametrize("seed", range(12))
def test_how_sure_a_prediction_is_follows_from_every_reading_s_own_uncertainty(seed: int) -> None:
    """With whole matrices: prediction less the reading to come, as a sum over turns' and readings' errors (C)."""
    reads, there = some_reads(seed), np.array((0.25, -1.5))
    shown = course(*reads)
    for what in WHAT:
        turns, value = arrays(reads, what)
        count, u = len(value), READ_TO[what] / ROOT3
        prior = matrix(COVARIANCE[what])
        # How what a turn is found to do more goes with each reading (linear, so by unit readings) …
        centred = (np.eye(count) - 1 / count) / u**2
        known = turns.T @ centred @ turns + np.linalg.inv(prior)
        by_reading = np.linalg.inv(known) @ turns.T @ centred
        # … and the error: of the newest reading, of the turns from there, and of the reading to come.
        apart = there - turns[-1]
        of_reading = apart @ by_reading
        of_reading[-1] += 1
        of_turn = apart @ (by_reading @ turns - np.eye(2))
        variance = u**2 * of_reading @ of_reading + of_turn @ prior @ of_turn + u**2
        told = shown.foretell((0.25, -1.5), what)
        assert told.expanded == pytest.approx(2 * math.sqrt(variance), rel=1e-9)
        assert told.value == pytest.approx(
            straight((0.25, -1.5), what) + value[-1] + apart @ by_reading @ value, rel=1e-12
        )


@pytest.mark.parametrize("bolt", [0, 1])
@pytest.mark.parametrize("times", [0.7, 1.0, 1.25])
def test_two_findings_of_one_turn_are_weighed_by_their_inverse_variances(bolt: int, times: float) -> None:
    """One bolt turned once: numpy's weighted mean of what the bow says and of what was read."""
    by = 1.5
    there = (2.0 - by, 1.5) if bolt == 0 else (2.0, 1.5 - by)
    each = TURN["tiller"][bolt]
    shown = course(START, off(there, tiller=(times - 1) * each * -by))
    turns = shown.turn("tiller")
    assert turns is not None
    u_bow = math.sqrt(COVARIANCE["tiller"][2 * bolt])
    u_read = math.sqrt(2) * READ_TO["tiller"] / ROOT3 / by
    weights = [u_bow**-2, u_read**-2]
    assert turns[bolt].value == pytest.approx(np.average([each, times * each], weights=weights), rel=1e-12)
    assert turns[bolt].uncertainty == pytest.approx(sum(weights) ** -0.5, rel=1e-12)
    assert turns[bolt].by == "both"
    # The other bolt's follows only as far as the bow says that the two are off together (a regression, C).
    slope = COVARIANCE["tiller"][1] / COVARIANCE["tiller"][2 * bolt]
    other = turns[1 - bolt]
    assert other.value - other.computed == pytest.approx(slope * (turns[bolt].value - each), rel=1e-9, abs=1e-12)


def test_a_bolt_that_has_nothing_to_do_with_the_one_that_was_turned_is_left_alone() -> None:
    apart = {what: Prior(TURN[what], (COVARIANCE[what][0], 0.0, COVARIANCE[what][2])) for what in WHAT}
    for by in ("both", "readings"):
        shown = course(START, off((0.0, 1.5), tiller=-1.5), by=by, prior=apart.__getitem__)
        turns = shown.turn("tiller")
        assert turns is not None
        assert turns[0].by == by
        assert turns[0].value != pytest.approx(turns[0].computed, rel=0.01)
        assert turns[1].by == "bow"
        assert turns[1].value == pytest.approx(turns[1].computed, abs=1e-12)
        assert turns[1].uncertainty == pytest.approx(math.sqrt(COVARIANCE["tiller"][2]))


def test_the_expanded_uncertainty_holds_nineteen_in_twenty() -> None:
    """Made-up truths drawn from its uncertainty: what is read next lies inside as often as k = 2 says (C)."""
    chance = np.random.default_rng(5)
    prior, u = matrix(COVARIANCE["tiller"]), READ_TO["tiller"] / ROOT3
    held = {"both": 0, "bow": 0}
    as_bow = {what: Prior(TURN[what], COVARIANCE[what]) for what in WHAT}
    places = np.array([START.turns, (1.5, 1.5), (1.0, 1.0), (0.0, 1.0), (-0.5, 0.0)])
    count = 2000
    for _ in range(count):
        true = chance.multivariate_normal((0, 0), prior)
        value = places @ true + chance.normal(0, u, len(places))
        reads = [off((float(a), float(b)), tiller=float(v)) for (a, b), v in zip(places, value, strict=True)]
        for by, more in (("both", {}), ("bow", {"prior": as_bow.__getitem__})):
            told = course(*reads[:-1], by=by, **more).foretell(reads[-1].turns, "tiller")
            next_read = reads[-1].tiller
            assert next_read is not None
            held[by] += told.holds(next_read)
    for by, found in held.items():
        assert 0.935 < found / count < 0.97, by  # 95.4 %, and more than three of its own standard deviations either way


# By readings alone


@pytest.mark.parametrize("times", [0.5, 1.0, 2.5])
def test_by_readings_the_turned_bolt_does_what_was_read(times: float) -> None:
    shown = course(START, off((0.0, 1.5), tiller=(times - 1) * 4.7 * -2), by="readings")
    turns = shown.turn("tiller")
    assert turns is not None
    assert turns[0].value == pytest.approx(times * 4.7, rel=2e-4)
    assert turns[0].uncertainty == pytest.approx(math.sqrt(2) * 0.6 / ROOT3 / 2, rel=1e-3)
    assert [one.by for one in turns] == ["readings", "bow"]
    assert turns[1].value == pytest.approx(turns[1].computed, rel=2e-3)
    assert turns[1].uncertainty == pytest.approx(math.sqrt(COVARIANCE["tiller"][2]), rel=0.25)
    assert turns[0].times == pytest.approx(times, rel=2e-4)


def test_bolts_that_were_only_turned_together_are_off_by_the_same_number_of_times() -> None:
    change = -1.5 * (-2.0 - 2.2)
    shown = course(START, off((0.5, 0.0), weight=0.3 * change), by="readings")
    turns = shown.turn("weight")
    assert turns is not None
    assert turns[0].value + turns[1].value == pytest.approx(1.3 * (-2.0 - 2.2), rel=1e-4)
    assert [one.times for one in turns] == pytest.approx([1.3, 1.3], rel=0.02)
    assert [one.by for one in turns] == ["readings", "readings"]
    # Between the two the readings do not decide: a turn against the other is as uncertain as the bow leaves it.
    against = course(START, by="bow").foretell((2.5, 1.0), "weight").expanded
    assert 0.6 * against < shown.foretell((1.0, -0.5), "weight").expanded < 1.4 * against


def test_both_bolts_turned_apart_are_told_apart() -> None:
    """Three settings and two unknown turns: numpy solves it."""
    first, second = (0.5, 1.5), (0.5, -0.5)
    true = np.array([0.9, -1.3])
    apart = np.array([first, second]) - np.array(START.turns)
    reads = [off(turns, tiller=float(by)) for turns, by in zip((first, second), apart @ true, strict=True)]
    turns = course(START, *reads, by="readings").turn("tiller")
    assert turns is not None
    solved = np.linalg.solve(apart, [one.tiller - straight(one.turns, "tiller") for one in reads if one.tiller])
    assert [one.value - one.computed for one in turns] == pytest.approx(list(solved), rel=3e-3)
    assert [one.by for one in turns] == ["readings", "readings"]


@pytest.mark.parametrize(("turned", "by"), [(0.15, "bow"), (0.30, "bow"), (0.32, "readings"), (1.0, "readings")])
def test_by_readings_a_change_no_greater_than_reading_can_be_off_by_counts_for_nothing(turned: float, by: str) -> None:
    """Three standard uncertainties of a difference: 3·√2·0.6/√3 of 4.7 a turn are 0.313 turns."""
    shown = course(START, off((2.0 - turned, 1.5), tiller=0.1), by="readings")
    turns = shown.turn("tiller")
    assert turns is not None
    assert [one.by for one in turns] == [by, "bow"]
    assert (turns[0].value == turns[0].computed) is (by == "bow")


@pytest.mark.long
@given(
    st.lists(st.tuples(st.floats(-3, 3), st.floats(-3, 3)), min_size=1, max_size=5),
    st.sampled_from(["both", "readings"]),
)
def test_no_readings_make_a_turn_less_sure_than_before(moves: list[Pair], by: str) -> None:
    reads = [off(turns, tiller=0.0) for turns in moves]
    shown = course(START, *reads, by=by)
    told = shown.learned("tiller")
    assert all(math.isfinite(each) for each in (*told.more, *told.covariance))
    assert told.more == pytest.approx((0, 0), abs=1e-9)  # what was read is what is computed
    if by == "both":
        assert told.covariance[0] <= COVARIANCE["tiller"][0] * (1 + 1e-9)
        assert told.covariance[2] <= COVARIANCE["tiller"][2] * (1 + 1e-9)
    assert told.covariance[0] >= 0
    assert told.covariance[0] * told.covariance[2] >= told.covariance[1] ** 2 * (1 - 1e-6)
    u = READ_TO["tiller"] / ROOT3
    here = shown.foretell(shown.anchor("tiller").turns, "tiller")
    assert 2 * u <= here.expanded <= 2 * math.sqrt(2) * u * (1 + 1e-9)


# A further reading

MOVES = st.lists(st.tuples(st.floats(-3, 3), st.floats(-3, 3)), min_size=1, max_size=6)


def read_along(moves: list[Pair], seed: int) -> tuple[SettingReading, ...]:
    """Settings, and tiller there off what is computed by as much as a turn's effect and a reading may be off."""
    chance = np.random.default_rng(seed)
    true = chance.multivariate_normal((0, 0), matrix(COVARIANCE["tiller"]))
    apart = np.array(moves) - np.array(START.turns)
    by = apart @ true + chance.uniform(-1, 1, len(moves)) * READ_TO["tiller"]
    return tuple(off(turns, tiller=float(each)) for turns, each in zip(moves, by, strict=True))


@pytest.mark.long
@given(MOVES, st.integers(0, 50), st.tuples(st.floats(-3, 3), st.floats(-3, 3)), st.sampled_from([0.0, 0.09]))
def test_a_further_reading_never_leaves_less_known_of_what_turns_do(
    moves: list[Pair], seed: int, change: Pair, counted: float
) -> None:
    """Prior less posterior has no eigenvalue below nothing (Loewner's order; Gauss and Markov, any textbook; by NumPy).

    So the band of no change, from the same setting, is wider than before.
    """
    reads = read_along(moves, seed)
    before, way = matrix(COVARIANCE["tiller"]), np.array(change)
    scale = float(np.trace(before))
    for count in range(1, len(reads) + 1):
        told = course(START, *reads[:count], counted_to=counted).learned("tiller")
        after = matrix(told.covariance)
        assert np.linalg.eigvalsh(before - after).min() >= -1e-9 * scale
        assert np.linalg.eigvalsh(after).min() >= -1e-9 * scale
        assert way @ after @ way <= way @ before @ way + 1e-9 * scale
        before = after


@pytest.mark.long
@given(st.lists(st.floats(0.05, 0.5), min_size=2, max_size=6), st.floats(0, 2 * math.pi), st.integers(0, 50))
def test_a_step_that_is_carried_out_and_read_never_widens_a_prediction_farther_on(
    steps: list[float], angle: float, seed: int
) -> None:
    """On one way, step by step, the band of its last setting: each reading is where the next prediction begins."""
    along = np.array([math.cos(angle), math.sin(angle)])
    places = np.array(START.turns) + np.cumsum(steps)[:, None] * along
    moves = [(float(one), float(two)) for one, two in places]
    reads, last = read_along(moves, seed), moves[-1]
    widths = [
        course(START, *reads[:count]).foretell(last, "tiller").expanded
        for count in range(len(reads))
        if not course(START, *reads[:count]).set_aside("tiller")
    ]
    for before, after in pairwise(widths):
        assert after <= before * (1 + 1e-9)


def test_a_reading_where_the_bolts_are_counted_to_stand_is_no_surer_than_that() -> None:
    """The law of propagation by hand (GUM 5.1.2, 4.3.7): the tape, and either bolt a little off from its count."""
    plain, counted = course(START), course(START, counted_to=0.1)
    for what in WHAT:
        whole = READ_TO[what] ** 2 + (0.1 * TURN[what][0]) ** 2 + (0.1 * TURN[what][1]) ** 2
        here = counted.foretell(START.turns, what)
        assert here.expanded == pytest.approx(2 * math.sqrt(2 * whole / 3))
        assert here.value == plain.foretell(START.turns, what).value
    reads = read_along([(1.0, 1.5), (1.0, 0.5)], 3)
    sure, unsure = (course(START, *reads, counted_to=each).learned("tiller").covariance for each in (0.0, 0.1))
    assert unsure[0] > sure[0]
    assert unsure[2] > sure[2]


# What counts, and what does not


def test_each_thing_goes_on_from_the_newest_setting_at_which_it_was_read() -> None:
    reads = (
        START,
        off((1.5, 1.5), weight=0.1, tiller=0.2),
        off((1.0, 1.5), brace_height=0.1),
        off((1.0, 1.0), tiller=0.3),
    )
    shown = course(*reads)
    assert [shown.anchor(what) for what in WHAT] == [reads[1], reads[3], reads[2]]
    assert [shown.anchor(what, 1) for what in WHAT] == [START] * 3
    assert shown.now is reads[3]
    assert shown.value("tiller") == pytest.approx(straight((1.0, 1.0), "tiller") + 0.3)
    more = shown.learned("weight").more
    assert more[0] != 0
    then = straight((1.0, 1.0), "weight") + 0.1 + more[0] * -0.5 + more[1] * -0.5
    assert shown.value("weight") == pytest.approx(then)
    assert shown.value_at((1.0, 1.0), "weight") == pytest.approx(then)
    assert shown.foretell((1.0, 1.0), "weight").value == pytest.approx(then)
    assert shown.predictor("weight")((1.0, 1.0), 7.0) == pytest.approx(then - straight((1.0, 1.0), "weight") + 7.0)


def test_a_row_without_readings_only_says_where_the_bolts_stand() -> None:
    reads = (START, off((1.5, 1.5), tiller=0.2), read((0.5, 0.5)))
    shown = course(*reads)
    assert shown.now.turns == (0.5, 0.5)
    assert [(one.reading, one.what) for one in shown.checks()] == [(reads[1], "tiller")]
    assert shown.anchor("tiller") is reads[1]
    for what in WHAT:
        assert shown.value(what) == pytest.approx(shown.foretell((0.5, 0.5), what).value)


def test_the_same_place_twice_tells_nothing_of_turns_and_the_newer_reading_counts() -> None:
    shown = course(START, off(START.turns, tiller=0.5))
    assert shown.learned("tiller").more == pytest.approx((0, 0), abs=1e-12)
    assert shown.learned("tiller").by == ("bow", "bow")
    assert shown.value("tiller") == straight(START.turns, "tiller") + 0.5
    (check,) = shown.checks()
    assert check.foretold.expanded == pytest.approx(2 * math.sqrt(2) * 0.6 / ROOT3)  # of a difference of two readings
    assert check.agrees
    # Read twice, the level is surer than one reading; the next reading's own uncertainty stays.
    again = shown.foretell(START.turns, "tiller").expanded
    assert again == pytest.approx(2 * math.sqrt(2) * 0.6 / ROOT3)


@pytest.mark.parametrize("by", ["bow", "readings", "both"])
@pytest.mark.parametrize("what", WHAT)
@pytest.mark.parametrize("side", [-1, 1])
def test_a_reading_agrees_to_the_edge_of_its_band_and_not_beyond(by: str, what: str, side: int) -> None:
    reads = (START, off((1.0, 1.5), **{what: 0.2}))
    told = course(*reads, by=by).foretell((1.0, 0.75), what)
    for part, agrees in ((0.0, True), (0.999, True), (1.0, True), (1.001, False), (3.0, False)):
        value = told.value + side * part * told.expanded
        last = read((1.0, 0.75), *(value if each == what else None for each in WHAT))
        checks = course(*reads, last, by=by).checks()
        assert checks[-1].reading is last
        assert checks[-1].what == what
        assert checks[-1].foretold == told
        assert checks[-1].agrees is agrees
        assert len(checks) == 2


@pytest.mark.parametrize("by", ["readings", "both"])
def test_what_no_turn_explains_teaches_nothing_and_begins_a_new_row(by: str) -> None:
    before = (START, off((1.0, 1.5), tiller=-0.4), off((1.0, 0.5), tiller=0.1))
    leap = off((0.0, 0.5), tiller=40.0)
    after = off((-1.0, 0.5), tiller=40.6)
    shown = course(*before, leap, after, by=by)
    told, known = shown.learned("tiller"), course(*before, by=by).learned("tiller")
    assert told.set_aside == shown.set_aside("tiller") == (leap,)
    assert course(*before, leap, by=by).learned("tiller").more == known.more
    assert [one.agrees for one in shown.checks()] == [True, True, False, True]
    # What lies after it is foretold from it, and by what it does to the next.
    assert shown.anchor("tiller") is after
    assert course(*before, leap, by=by).value("tiller") == leap.tiller
    # Each row has a level of its own (two columns instead of one, numpy).
    if by == "both":
        u = READ_TO["tiller"] / ROOT3
        turns, value = arrays((*before, leap, after), "tiller")
        level = np.array([[1, 0], [1, 0], [1, 0], [0, 1], [0, 1]])
        root = np.linalg.cholesky(np.linalg.inv(matrix(COVARIANCE["tiller"]))).T
        rows = np.vstack([np.column_stack([level, turns]) / u, np.column_stack([np.zeros((2, 2)), root])])
        solved = np.linalg.lstsq(rows, np.concatenate([value / u, [0, 0]]), rcond=None)[0]
        assert told.more == pytest.approx(tuple(solved[2:]), rel=1e-9)


@pytest.mark.parametrize(
    ("times", "aside"), [(0.2, False), (3.0, False), (-0.1, True), (3.4, True), (0.0, False), (-5, True), (9, True)]
)
@pytest.mark.parametrize("bolt", [0, 1])
def test_a_turn_may_do_from_a_fifth_to_three_times_what_is_computed(times: float, aside: bool, bolt: int) -> None:
    """And what two readings may be off by besides: 2·√2·0.6/√3 = 0.98, of four turns 0.05 times."""
    there = (-2.0, 1.5) if bolt == 0 else (2.0, -2.5)
    slack = 2 * math.sqrt(2) * 0.6 / ROOT3 / (4 * abs(TURN["tiller"][bolt]))
    assert slack < 0.06
    wrong = off(there, tiller=(times - 1) * TURN["tiller"][bolt] * -4)
    told = course(START, wrong, by="readings").learned("tiller")
    outside = not 0.2 - slack <= times <= 3 + slack
    assert outside is (aside or times == 0.0)
    assert (told.set_aside == (wrong,)) is outside
    if outside:
        assert told.more == (0, 0)
        assert told.by == ("bow", "bow")


def test_where_the_bolts_act_against_one_another_either_may_explain_it() -> None:
    """Both in by two turns: 4.7 and −5.0 a turn nearly cancel, and yet one of them half as strong moves tiller."""
    real = off((0.0, -0.5), tiller=0.5 * 5.0 * -2)  # the lower one does half
    assert course(START, real).learned("tiller").set_aside == ()
    wild = off((0.0, -0.5), tiller=-35.0)
    assert course(START, wild).learned("tiller").set_aside == (wild,)


def test_settings_outside_are_neither_foretold_nor_gone_on_from() -> None:
    outside = off((9.0, 1.5), tiller=0.0)
    shown = course(START, off((1.0, 1.5), tiller=0.3), outside, by="both")
    assert shown.beside == (outside,)
    assert shown.now is outside
    assert [one.reading for one in shown.checks()] == [shown.reads[1]]
    assert shown.anchor("tiller") is shown.reads[1]
    assert math.isfinite(shown.value("tiller"))

    def nowhere(turns: Pair, what: str) -> float:
        if turns[0] > 5:
            raise AssertionError("the bow was asked about a place outside")
        return straight(turns, what)

    again = course(*shown.reads, at=nowhere)
    assert again.checks() == shown.checks()
    assert all(math.isfinite(again.value(what)) for what in WHAT)
    assert again.value_at((1.0, 1.0), "tiller") == shown.value_at((1.0, 1.0), "tiller")


def test_what_is_quick_asks_for_no_uncertainties_before_there_are_two_settings() -> None:
    def never(what: str) -> Prior | None:
        raise AssertionError("uncertainties were asked for")

    for shown in (course(START, prior=never), course(START, off((1, 1), tiller=0.1), by="bow", prior=never)):
        for what in WHAT:
            assert math.isfinite(shown.value(what))
            assert math.isfinite(shown.value_at((1.0, 1.0), what))
            assert shown.set_aside(what) == ()
    assert course(START, off((1, 1), tiller=0.1), prior=never).value("weight") == pytest.approx(
        straight((1, 1), "weight")
    )


# Of a record


def asked(record: dict[str, Any] = OWN, **more: Any) -> BowInputs:
    return bow_inputs(values(changed(record, **more)), ASKED)


FINE = {"weight": 0.02, "tiller": 1e-5, "brace_height": 1e-5}
"""Readings that are far nearer than what is looked at: N, m, m."""


def given_by(setup: Setup, draw: float) -> Callable[[Pair], SettingReading]:
    """What is read of the bow of a setup, with its bolts there, exactly."""
    fitted = fitted_bow(setup)

    def at(turns: Pair) -> SettingReading:
        found = outcome(bow_fit.turned(fitted, setup.rock(turns), draw))
        return SettingReading(turns, found.weight, found.tiller, found.brace_height)

    return at


def with_arms(setup: Setup, upper: float, lower: float) -> Setup:
    """A bow that gives the same readings, with other levers in its pockets: so many times as long."""
    one, two = (
        replace(
            pocket,
            fulcrum_arm=part * pocket.fulcrum_arm,
            butt_length=pocket.butt_length + (part - 1) * pocket.fulcrum_arm,
        )
        for pocket, part in zip(setup.pockets, (upper, lower), strict=True)
    )
    return replace(setup, pockets=(one, two))


def test_the_record_s_own_readings_are_the_first_row() -> None:
    bow = asked(upper_tiller=181, lower_tiller=174.5)
    shown = course_of(bow, (), FINE, "both")
    first = shown.now
    assert first.turns == (2.5, 2.0)
    assert first.tiller == pytest.approx(0.0065, abs=1e-12)
    assert first.brace_height == pytest.approx(0.222, abs=1e-12)
    assert first.weight == pytest.approx(38 * 4.4482216152605, rel=1e-6)
    several = asked(draw_weight=None, scale_readings=[{"draw": 26, "weight": 33.9}, {"draw": 28, "weight": 38.4}])
    by_table = course_of(several, (), FINE, "both").now.weight
    fitted = fitted_bow(several.setup)
    assert by_table == pytest.approx(bow_fit.turned(fitted, fitted.rock, several.draw).drawn.force, rel=1e-9)
    row = SettingReading((1.0, 1.0), None, None, None, "later")
    assert course_of(bow, (row,), FINE, "bow").reads[1:] == (row,)


def test_what_a_turn_does_and_how_sure_it_is_are_those_of_the_other_pages() -> None:
    bow = asked()
    shown, told = course_of(bow, (), FINE, "both"), uncertainty_of(bow)
    for what in WHAT:
        turns = shown.turn(what)
        assert turns is not None
        assert turns[0].computed == getattr(told.response.upper, what)
        assert turns[1].computed == getattr(told.response.lower, what)
        for change in ((1.0, 0.0), (0.0, -1.0), (-0.5, 0.75), (-1.0, -1.0)):
            there = (bow.setup.now[0] + change[0], bow.setup.now[1] + change[1])
            u = told.budget_of(what, change, whole=False).combined
            # Both readings, and where both bolts are counted to stand at either: half an eighth and half the play.
            counted = ((0.0625 + 0.025) * math.hypot(turns[0].computed, turns[1].computed)) ** 2
            readings = 2 * (FINE[what] ** 2 + counted) / 3
            assert shown.foretell(there, what).expanded == pytest.approx(2 * math.sqrt(u**2 + readings), rel=1e-6)


def test_where_a_bow_s_uncertainties_cannot_be_found_all_of_a_change_is_uncertain(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fails(bow: BowInputs) -> None:
        raise FitError("turns", "No such bow.")

    monkeypatch.setattr(course_module, "uncertainty_of", fails)
    bow = asked()
    shown = course_of(bow, (SettingReading((2.0, 2.0), 170.0, 0.002, None),), FINE, "both")
    assert shown.turn("tiller") is None
    told, change = shown.foretell((1.0, 2.0), "tiller"), shown.at((1.0, 2.0), "tiller") - shown.at((2.0, 2.0), "tiller")
    assert told.value == pytest.approx(0.002 + change)
    assert told.expanded == pytest.approx(2 * abs(change), rel=1e-3)


def test_outside_the_windows_nothing_counts() -> None:
    bow = asked()
    upper, lower = windows(OWN)
    rows = tuple(
        SettingReading(turns, 170.0, 0.004, 0.222)
        for turns in (
            (upper.inner.usable - 0.01, 2.0),
            (upper.inner.usable + 0.01, 2.0),
            (2.5, lower.outer.usable + 0.01),
            (2.5, lower.outer.usable - 0.01),
            (15.0, -5.0),
        )
    )
    shown = course_of(bow, rows, FINE, "both")
    assert shown.beside == (rows[0], rows[2], rows[4])
    assert {id(one.reading) for one in shown.checks()} == {id(rows[1]), id(rows[3])}
    none = course_of(asked(upper_touch_turns=None, upper_touch_found="no"), rows, FINE, "both")
    assert none.beside == rows
    assert none.checks() == ()


@pytest.mark.parametrize("part", [0.8, 1.2])
def test_own_readings_correct_a_lever_that_is_a_fifth_off(part: float) -> None:
    """Two settings of one bolt on a made bow whose levers are others: nearer with both, and by readings right there."""
    bow = asked()
    true = given_by(with_arms(bow.setup, part, part), bow.draw)
    now = bow.setup.now
    read_there, further, between = ((now[0] - by, now[1]) for by in (1.0, 1.5, 0.5))
    courses = {by: course_of(bow, (true(read_there),), FINE, by) for by in ("bow", "both", "readings")}
    alone = course_of(bow, (), FINE, "bow")
    for what in ("weight", "tiller"):
        first = alone.foretell(read_there, what)
        was = true(read_there).get(what)
        assert was is not None
        assert abs(first.value - was) > 4 * FINE[what]  # a fifth is a difference that is read
        for there in (further, between):
            value = true(there).get(what)
            assert value is not None
            left = {by: abs(one.foretell(there, what).value - value) for by, one in courses.items()}
            assert left["both"] < 0.2 * left["bow"]
            assert left["readings"] < 0.1 * left["bow"]
        assert courses["readings"].foretell(read_there, what).value == pytest.approx(was, abs=1e-12)
        turns = courses["readings"].turn(what)
        assert turns is not None
        assert turns[0].times == pytest.approx(1 / part, rel=0.04)
        assert [one.by for one in turns] == ["readings", "bow"]


@pytest.mark.parametrize("part", [-0.6, 0.6])
def test_what_was_read_of_the_upper_bolt_is_not_taken_for_the_lower_one(part: float) -> None:
    """Only the upper limb is another, by so much of what it may have of its own, all to one side.

    The lower bolt's prediction must not be spoiled without being called unsure.
    """
    bow = asked(fulcrum_arm=60, upper_rim_to_butt=2.5, lower_rim_to_butt=2.5)
    told_of = uncertainty_of(bow)
    setup = bow.setup
    for effect in effects_of(told_of):
        name = effect.parameter.name
        if individual(name) and name.startswith("upper"):
            by = math.copysign(part, part * effect.by.upper.tiller) * effect.parameter.half
            setup = moved(setup, name, by)
    true = given_by(setup, bow.draw)
    now = bow.setup.now
    first = true((now[0] - 1.0, now[1]))
    there = (now[0] - 1.0, now[1] - 1.0)
    for by_what in ("both", "readings"):
        shown = course_of(bow, (first,), FINE, by_what)
        for what in ("weight", "tiller"):
            value = true(there).get(what)
            assert value is not None
            assert shown.foretell(there, what).holds(value)
    # What only the upper bolt was turned for tells of the lower one no more than what both limbs have in common.
    own = [each.by.lower.tiller for each in effects_of(told_of) if individual(each.parameter.name)]
    both, alone = (course_of(bow, reads, FINE, "both").turn("tiller") for reads in ((first,), ()))
    assert both is not None
    assert alone is not None
    assert math.hypot(*own) / ROOT3 < both[1].uncertainty < alone[1].uncertainty
    readings = course_of(bow, (first,), FINE, "readings").turn("tiller")
    assert readings is not None
    assert readings[1].value == pytest.approx(alone[1].value, rel=5e-3)


def test_made_bows_are_read_inside_their_bands() -> None:
    """Bows whose every number is off by chance, inside what is said of it; read by a tape and a scale; three steps."""
    bow = asked(OWN, tape_step=0.1, scale_step=0.05)
    read_to = {"weight": 0.05 * 4.448, "tiller": 0.1e-3 * math.sqrt(2), "brace_height": 0.1e-3}
    chance = random.Random(11)
    now = bow.setup.now
    ways = [(now[0] - 0.5, now[1]), (now[0] - 1.0, now[1] - 0.5), (now[0] + 1.0, now[1] - 1.0)]
    held = {what: {"bow": 0, "both": 0} for what in WHAT}
    off_by = {what: {"bow": 0.0, "both": 0.0} for what in WHAT}
    narrower = 0
    count = 24
    for _ in range(count):
        setup = bow.setup
        for each in bow.parameters:
            if each.name not in ("brace_height", "upper_tiller", "lower_tiller", "upper_now_turns", "lower_now_turns"):
                by = chance.uniform(-1, 1) * each.half
                setup = moved(setup, each.name, abs(by) if each.name == "stretch" else by)
        true = given_by(setup, bow.draw)
        reads = []
        for turns in ways:
            exact = true(turns)
            noisy = {what: (exact.get(what) or 0) + chance.uniform(-1, 1) * read_to[what] for what in WHAT}
            reads.append(SettingReading(turns, noisy["weight"], noisy["tiller"], noisy["brace_height"]))
        told = {by: course_of(bow, tuple(reads[:2]), read_to, by) for by in ("bow", "both")}
        narrower += told["both"].foretell(ways[2], "tiller").expanded < told["bow"].foretell(ways[2], "tiller").expanded
        for what in WHAT:
            value = reads[2].get(what)
            assert value is not None
            for way, one in told.items():
                found = one.foretell(ways[2], what)
                held[what][way] += found.holds(value)
                off_by[what][way] += abs(found.value - value)
    for what in WHAT:
        assert held[what]["both"] >= 0.9 * count
        assert held[what]["bow"] >= 0.8 * count
    assert narrower == count
    assert off_by["tiller"]["both"] < 0.3 * off_by["tiller"]["bow"]
    assert off_by["weight"]["both"] < 0.5 * off_by["weight"]["bow"]
