"""The made-up bolts of the practice bench, and what a hand feels and loses there.

What a strip feels is built anew from polygons (Shapely, mark C): the limb is turned until it touches the head, and the
gap is measured where the strip is offered. Nothing there knows of rock angles at contact or of the strip's formula.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import pytest
from shapely import LineString, Polygon, affinity, box

from helpers.asking import COMPLETE, windows
from quarterturn.bench import practice
from quarterturn.bench.practice import (
    EIGHTH,
    LEVELS,
    MOST_BOWS,
    STRIPS,
    Hand,
    LastTurn,
    MadeUpBolt,
    chosen_ends,
    felt,
    key_of,
    made_up_bolt,
    touch_loss,
    window_from,
    zero_loss,
)

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

NUMBERS = (1, 2, 3, 4, 77, 4242, MOST_BOWS)
BOLTS = [(number, level) for level in LEVELS for number in NUMBERS]
each_bolt = pytest.mark.parametrize(("number", "level"), BOLTS)
CAREFUL = Hand()
"""Both prongs, the tip eased, office paper."""
DEEP = 30.0  # mm, how thick the limb is drawn: it does not matter


# The same for ever

VECTOR = {
    (1, "sight"): "arm 55.2 head 20.4 pitch 1.0583 touch 5.1250 found 1.8750",
    (1, "paper"): "arm 58.6 head 17.2 pitch 1.0000 touch 4.7210 found 3.7930 prong 0.0496 paper 0.1005",
    (
        2,
        "play",
    ): "arm 63.2 head 17.4 pitch 1.0000 touch 5.2420 found 4.5685 prong -0.0407 paper 0.1044 play 0.0462 stop 0.9221",
    (3, "found"): "arm 67.9 head 17.4 pitch 1.0000 touch 5.7631 found 6.9359 prong 0.0360 paper 0.0991 play 0.0793",
    (
        MOST_BOWS,
        "found",
    ): "arm 66.5 head 19.4 pitch 1.2500 touch 6.3060 found -0.4423 prong -0.0156 paper 0.1042 play 0.0577",
}
"""Published: an assignment's link rests on it, so it never changes."""


def in_words(bolt: MadeUpBolt) -> str:
    said = (
        f"arm {1000 * bolt.dimensions.fulcrum_arm:.1f} head {2000 * bolt.dimensions.head_radius:.1f} "
        f"pitch {1000 * bolt.pocket.pitch:.4f} touch {bolt.touch:.4f} found {bolt.found:.4f}"
    )
    if bolt.level != "sight":
        said += f" prong {1000 * bolt.prong:.4f} paper {1000 * bolt.thickness('paper'):.4f}"
    if bolt.play:
        said += f" play {bolt.play:.4f}"
    return said + ("" if bolt.stop is None else f" stop {bolt.stop:.4f}")


@pytest.mark.parametrize(("number", "level"), VECTOR)
def test_a_number_is_the_same_bolt_for_ever(number: int, level: str) -> None:
    assert in_words(made_up_bolt(number, level)) == VECTOR[number, level]


@pytest.mark.parametrize(("number", "level"), [(0, "paper"), (MOST_BOWS + 1, "paper"), (1, "by smell")])
def test_there_is_no_such_bolt(number: int, level: str) -> None:
    with pytest.raises(ValueError, match="no bolt has the number"):
        made_up_bolt(number, level)


def test_neighbours_have_different_bolts() -> None:
    for level in LEVELS:
        told = {in_words(made_up_bolt(number, level)) for number in range(1, 400)}
        assert len(told) == 399


@pytest.mark.long
@pytest.mark.parametrize("level", LEVELS)
def test_every_bolt_can_be_found_out(level: str) -> None:
    """Paper tells flush within a turn, both ends can be reached, and a range is left that is worth choosing."""
    outside = 0
    for number in range(1, 600):
        bolt = made_up_bolt(number, level)
        assert bolt.lowest < bolt.found < bolt.highest
        assert bolt.touch - bolt.inner > 2
        lag = zero_loss(bolt, settled(bolt, CAREFUL)).at
        assert 0 <= lag < 1.2
        window = window_from(bolt, bolt.touch - lag, bolt.found - lag)
        assert window is not None
        assert window.width > 1.5
        assert (bolt.stands != "inside") is (level == "found")
        outside += bolt.stands == "outer"
    assert level != "found" or 200 < outside < 400


def settled(bolt: MadeUpBolt, hand: Hand) -> Hand:
    """The hand after it has looked for zero: out until the strip goes in, then in by eighths until it stops."""
    turned = 0.0
    if bolt.level == "sight":
        return replace(hand, turned=-bolt.found, came=LastTurn.IN)
    for _ in range(400):
        if (felt(bolt, replace(hand, turned=turned, came=LastTurn.OUT)).reach or 0.0) > 0:
            break
        turned += EIGHTH
    now = replace(hand, turned=turned, came=LastTurn.IN)
    for _ in range(400):
        sense = felt(bolt, now)
        if sense.reach in (0.0, None) or sense.at_stop or sense.at_end:
            return now
        now = replace(now, turned=now.turned - EIGHTH)
    raise AssertionError("the strip never stops")


# What is felt, by polygons


def limb_at(bolt: MadeUpBolt, angle: float) -> Polygon:
    """The limb in mm, its back up, rocked on the fulcrum."""
    arm, depth = 1000 * bolt.dimensions.fulcrum_arm, 1000 * bolt.dimensions.limb_depth
    start = -1000 * (bolt.dimensions.head_radius - bolt.dimensions.rim_to_butt)
    flat = Polygon([(start, 0.0), (arm + 60, 0.0), (arm + 60, -DEEP), (start, -DEEP)])
    return affinity.rotate(flat, -angle, origin=(arm, -depth), use_radians=True)


def head_at(bolt: MadeUpBolt, turns: float) -> BaseGeometry:
    radius, slot = 1000 * bolt.dimensions.head_radius, 1000 * bolt.dimensions.slot_half_width
    half, under = math.sqrt(radius**2 - slot**2), 1000 * bolt.pocket.pitch * turns
    return box(-half, under, half, under + 20)


def pressed(bolt: MadeUpBolt, head: BaseGeometry) -> float:
    """The largest angle at which the limb does not enter the head, and the fitting allows."""
    low, high = -0.3, bolt.pocket.fitting_angle
    if limb_at(bolt, high).intersection(head).area < 1e-9:
        return high
    for _ in range(70):
        middle = (low + high) / 2
        low, high = (middle, high) if limb_at(bolt, middle).intersection(head).area < 1e-9 else (low, middle)
    return low


def gap_over(limb: Polygon, head: BaseGeometry, x: float) -> float | None:
    """From the head's underside straight down to the limb; None where there is no limb."""
    under = head.bounds[1]
    found = LineString([(x, under + 5), (x, under - 40)]).intersection(limb)
    return None if found.is_empty else under - found.bounds[3]


def reach_by_polygons(bolt: MadeUpBolt, hand: Hand) -> float | None:
    """How far the strip goes in, in mm: by small steps from where it is offered."""
    turns = key_of(bolt, hand.turned) - (bolt.play if hand.came is LastTurn.OUT else 0.0)
    head = head_at(bolt, turns)
    angle = pressed(bolt, head)
    limb = limb_at(bolt, angle if hand.eased else min(angle, bolt.rest))
    wider = {"both": 0.0, "near": max(0.0, -bolt.prong), "far": max(0.0, bolt.prong)}[hand.prong]
    thick = 1000 * (bolt.thickness(hand.strip) - wider)
    left, right = head.bounds[0], head.bounds[2]
    start = max(left, float(limb.exterior.coords[0][0])) + 1e-9
    if start > right:
        return None
    step = 0.02
    places = [right - 1e-9 - step * k for k in range(int((right - start) / step))]
    places = places if hand.offered == "rim" else [start + step * k for k in range(int((right - start) / step))]
    for k, x in enumerate(places):
        gap = gap_over(limb, head, x)
        if gap is None or gap <= thick + 1e-6:
            return step * k
    return right - start


@pytest.mark.long
@pytest.mark.parametrize(("number", "level"), [(1, "paper"), (2, "paper"), (3, "play"), (4, "found"), (77, "found")])
@pytest.mark.parametrize(("offered", "eased"), list(product(("rim", "butt"), (True, False))))
def test_the_strip_goes_in_as_far_as_between_polygons(number: int, level: str, offered: str, eased: bool) -> None:
    bolt = made_up_bolt(number, level)
    seen = set()
    for turned in (-4.0, -bolt.found + 0.05, -bolt.found + 0.6, 0.0, 1.5, bolt.touch - bolt.found + 0.02, 6.0):
        for strip, prong, came in (("paper", "both", LastTurn.IN), ("card", "near", LastTurn.OUT),
                                   ("paper", "far", LastTurn.OUT), ("thin", "both", LastTurn.IN)):  # fmt: skip
            hand = Hand(turned, came, offered, strip, prong, eased)
            wanted, given = reach_by_polygons(bolt, hand), felt(bolt, hand).reach
            if wanted is None or given is None:
                assert wanted == given
                continue
            assert 1000 * given == pytest.approx(wanted, abs=0.15)
            seen.add(round(wanted))
    assert len(seen) > 2 if offered == "rim" and eased else seen


# What is lost


@each_bolt
def test_a_careful_hand_loses_paper_and_a_step_and_nothing_else(number: int, level: str) -> None:
    bolt = made_up_bolt(number, level)
    loss = zero_loss(bolt, settled(bolt, CAREFUL))
    by = {one.cause: one.turns for one in loss.losses}
    assert set(by) <= {"paper", "prong", "turning"}
    assert by.get("prong", 0.0) == 0.0
    assert -EIGHTH - 1e-9 <= by["turning"] <= 1e-9
    if bolt.level == "sight":
        assert loss.at == 0.0
    elif bolt.stop is not None:
        assert loss.at == loss.truth == bolt.stop
    else:
        assert by["paper"] > 0.2


@pytest.mark.long
@each_bolt
@pytest.mark.parametrize("strip", STRIPS)
@pytest.mark.parametrize("prong", ["both", "near", "far"])
def test_the_parts_of_a_loss_make_up_the_whole(number: int, level: str, strip: str, prong: str) -> None:
    bolt = made_up_bolt(number, level)
    for turned, came, offered, eased in product((-2.0, 0.5, 3.0), LastTurn, ("rim", "butt"), (True, False)):
        hand = Hand(turned, came, offered, strip, prong, eased)
        for loss in (zero_loss(bolt, hand), touch_loss(bolt, hand)):
            assert math.fsum(one.turns for one in loss.losses) == pytest.approx(loss.at - loss.truth, abs=1e-9)
            assert loss.at == key_of(bolt, turned)


@pytest.mark.parametrize("number", NUMBERS)
def test_each_fault_of_the_hand_is_named_and_as_large_as_it_is_felt(number: int) -> None:
    """One thing done wrong at a time: what is told is how far the place moves where the strip stops."""
    bolt = made_up_bolt(number, "paper")
    right = settled(bolt, CAREFUL)
    wrong_prong = "far" if bolt.prong > 0 else "near"
    for cause, hand in (("prong", replace(CAREFUL, prong=wrong_prong)), ("tip", replace(CAREFUL, eased=False))):
        at = settled(bolt, hand)
        by = {one.cause: one.turns for one in zero_loss(bolt, at).losses}
        moved = key_of(bolt, at.turned) - key_of(bolt, right.turned)
        assert by[cause] == pytest.approx(moved, abs=EIGHTH)
        assert by[cause] < -0.05  # farther in, where it does harm


@pytest.mark.parametrize("number", NUMBERS)
def test_play_is_lost_by_coming_out(number: int) -> None:
    """The same place of the head, come to either way: the key is the play of the thread apart."""
    bolt = made_up_bolt(number, "found")
    one, other = (replace(CAREFUL, turned=2.0, came=came) for came in (LastTurn.IN, LastTurn.OUT))
    assert felt(bolt, one).head - felt(bolt, other).head == pytest.approx(bolt.play, abs=1e-12)
    by = {part.cause: part.turns for part in zero_loss(bolt, other).losses}
    assert by["play"] == bolt.play
    assert "play" not in {part.cause for part in zero_loss(bolt, one).losses}


def test_a_strip_that_one_prong_never_stops_is_a_guess() -> None:
    bolt = next(bolt for bolt in (made_up_bolt(n, "paper") for n in range(1, 99)) if abs(bolt.prong) > 0.035e-3)
    hand = Hand(0.0, LastTurn.IN, "rim", "thin", "far" if bolt.prong > 0 else "near")
    assert zero_loss(bolt, hand).guessed
    assert touch_loss(bolt, replace(hand, offered="butt")).guessed
    assert touch_loss(bolt, CAREFUL).guessed  # at the rim nothing of first touch is felt
    assert not touch_loss(bolt, replace(CAREFUL, offered="butt")).guessed


# Against the range that was chosen


def test_a_range_is_held_against_the_truth() -> None:
    """By hand: zero a third of a turn out from flush; a range from ¼ to a quarter short of first touch and beyond."""
    bolt = made_up_bolt(2, "paper")
    zero = Hand(1 / 3 - bolt.found, LastTurn.IN)
    inner, outer = chosen_ends(bolt, zero, 0.25, bolt.touch - 1 / 3 - 0.25)
    assert inner.inside == pytest.approx(1 / 3 + 0.25)
    assert outer.inside == pytest.approx(0.25)
    assert inner.enough
    assert outer.enough
    assert not inner.past
    inner, outer = chosen_ends(bolt, zero, -0.5, bolt.touch - 1 / 3 + 0.1)
    assert inner.past
    assert outer.past
    assert not inner.enough
    inner, _ = chosen_ends(bolt, zero, -0.2, 3)
    assert not inner.past
    assert not inner.enough


@pytest.mark.parametrize("number", [1, 2, 77])
def test_the_worksheet_says_the_same_of_these_counts(number: int) -> None:
    """The whole record of such a bow, read by Find the safe range."""
    bolt = made_up_bolt(number, "paper")
    lengths = bolt.dimensions
    record = COMPLETE | {
        "head_diameter": 2000 * lengths.head_radius,
        "slot_width": 2000 * lengths.slot_half_width,
        "fulcrum_arm": 1000 * lengths.fulcrum_arm,
        "limb_depth": 1000 * lengths.limb_depth,
        "upper_rim_to_butt": 1000 * lengths.rim_to_butt,
        "rise": 4000 * bolt.pocket.pitch,
        "strip_thickness": 0.1,
        "smallest_turn": 0.125,
        "play": 0,
        "upper_touch_turns": 4,
        "upper_now_turns": 2,
    }
    upper, _ = windows(record)
    window = window_from(bolt, 4, 2)
    assert window is not None
    assert window.inner.usable == pytest.approx(upper.inner.usable, abs=1e-9)
    assert window.outer.usable == pytest.approx(upper.outer.usable, abs=1e-9)


def test_counts_of_no_bolt_have_no_window() -> None:
    assert window_from(made_up_bolt(1, "paper"), 0.05, 0) is None


def test_a_bolt_goes_no_farther_than_it_can() -> None:
    for number, level in BOLTS:
        bolt = made_up_bolt(number, level)
        far_in, far_out = felt(bolt, replace(CAREFUL, turned=-20)), felt(bolt, replace(CAREFUL, turned=20))
        assert far_in.at_stop is (bolt.stop is not None)
        assert far_in.at_end is (bolt.stop is None)
        assert far_out.at_end
        assert practice.key_of(bolt, far_in.turned) == pytest.approx(bolt.lowest)
        assert not felt(bolt, CAREFUL).at_end
