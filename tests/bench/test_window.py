"""Every limit of a bolt against a second computation (tests/helpers/second_window.py: model.md 1 and 2, mpmath; C).

Margin, range and cover of the trade: sources.md D (common practice). Threads: model.md section 6 (C).
"""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import COMPLETE, MAKER, changed, readings, windows
from helpers.second_window import INNER, limits
from quarterturn.bench.window import End, NoOuterLimit, Window, WindowLimit, WindowPlace, standing, window_of

SHARED = {
    "flush_way": "flush_way",
    "strip": "strip_thickness",
    "smallest": "smallest_turn",
    "play": "play",
    "margin": "margin",
    "rise": "rise",
    "rise_turns": "rise_turns",
    "caliper": "caliper_step",
    "head": "head_diameter",
    "slot": "slot_width",
    "arm": "fulcrum_arm",
    "depth": "limb_depth",
    "maker_in": "maker_in",
    "maker_out": "maker_out",
    "thread": "thread_diameter",
}
OF_A_BOLT = {
    "rim_to_butt": "rim_to_butt",
    "touch": "touch_turns",
    "bracket": "bracket",
    "stop": "stop_turns",
    "free": "free_turns",
}


def record_of(case: dict[str, Any]) -> dict[str, Any]:
    """The record of a case of the second computation, for the upper bolt."""
    record = COMPLETE | {SHARED[name]: value for name, value in case.items() if name in SHARED}
    record |= {f"upper_{OF_A_BOLT[name]}": value for name, value in case.items() if name in OF_A_BOLT}
    if case.get("flush_way") == "both":
        record |= {"upper_bracket": case.get("bracket", 0.5), "lower_bracket": 0.5}
    if case.get("diameters") == 1:
        record["bush_metal"] = "steel"
    if "stop" in case or "zero_is_stop" in case:
        first = "stop" if case.get("zero_is_stop") else "flush"
        record |= {"bolt_family": "stop", "upper_first_in": first, "lower_first_in": "flush"}
    if "touch" in case and case["touch"] is None:
        record |= {"upper_touch_found": "no", "upper_touch_turns": None}
    return changed(record)


CASES: list[dict[str, Any]] = [
    {},
    {"flush_way": "inside"},
    {"flush_way": "both", "bracket": 0.75},
    {"strip": 0.05, "smallest": 0.25, "play": 0.2, "margin": 0.5},
    {"flush_way": "inside", "strip": 0.19, "rim_to_butt": 0.5},
    {"stop": 1.25},
    {"stop": 0},
    {"zero_is_stop": True, "touch": 3.5},
    {"maker_in": 1.5, "maker_out": 4},
    {"maker_in": 0.1, "maker_out": 9},
    {"free": 22, "thread": 9.525},
    {"free": 14, "thread": 9.525, "diameters": 1},
    {"free": 14, "thread": 8, "diameters": 1, "rise": 5, "caliper": 0.01},
    {"rim_to_butt": 9.2},
    {"rim_to_butt": 9.2, "flush_way": "inside"},
    {"rim_to_butt": 9.0, "flush_way": "both", "bracket": 1},
    {"rim_to_butt": 0, "head": 17, "slot": 8, "arm": 45, "depth": 12},
    {"rim_to_butt": 0.4, "flush_way": "inside", "slot": 14},
    {"touch": None, "maker_out": 5},
    {"touch": None, "free": 16, "thread": 6, "rise": 4, "diameters": 2},
    {"touch": 2.5, "margin": 2},
]


@pytest.mark.parametrize("case", CASES, ids=str)
def test_every_limit_is_that_of_the_second_computation(case: dict[str, Any]) -> None:
    window, _ = windows(record_of(case))
    expected = limits(case)
    assert {limit.name for limit in window.limits} == set(expected)
    for limit in window.limits:
        other = expected[limit.name]
        found = (limit.at, limit.interval, limit.margin, limit.budget.expanded, limit.usable)
        assert found == pytest.approx(
            (other.at, other.interval, other.margin, other.uncertainty, other.usable), abs=1e-9
        )


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_strictest_of_each_end_wins_and_is_named(case: dict[str, Any]) -> None:
    window, _ = windows(record_of(case))
    expected = limits(case)
    inner = {name: limit.usable for name, limit in expected.items() if name in INNER}
    outer = {name: limit.usable for name, limit in expected.items() if name not in INNER}
    assert window.inner.name == max(inner, key=lambda name: inner[name])
    assert window.outer.name == min(outer, key=lambda name: outer[name])
    assert window.width == pytest.approx(min(outer.values()) - max(inner.values()), abs=1e-9)
    assert window.vanished is (min(outer.values()) <= max(inner.values()))
    for end in End:
        listed = [limit.usable for limit in window.limits if limit.end is end]
        assert listed == sorted(listed, reverse=end is End.INNER)


def test_cases_name_every_limit_once_at_least() -> None:
    """The cases above are of use only if each limit is the strictest in one of them."""
    named = set()
    for case in CASES:
        window, _ = windows(record_of(case))
        named |= {window.inner.name, window.outer.name}
    assert named == {"flush", "stop", "maker_in", "touch", "thread", "maker_out", "cover"}


def test_ties_keep_one_order() -> None:
    """Flush before the maker's inner limit, first touch before the maker's outer one."""
    plain, _ = windows(COMPLETE)
    uncertainty = plain.inner.budget.expanded
    for shift in (-1e-11, 0.0, 1e-11):
        record = COMPLETE | {
            "maker_in": 0.25 + shift,
            "maker_out": {"typed": repr(plain.outer.usable + uncertainty + shift), "unit": "turn"},
        }
        window, _ = windows(record)
        assert (window.inner.name, window.outer.name) == ("flush", "touch")
    window, _ = windows(COMPLETE | {"maker_in": 0.2501, "maker_out": round(plain.outer.usable + uncertainty - 1e-4, 6)})
    assert (window.inner.name, window.outer.name) == ("maker_in", "maker_out")


def test_paper_resolves_what_the_model_says() -> None:
    """model.md 1: with one sheet of paper 0.42 turn from outside, 0.33 from inside, 0.09 at first touch (C)."""
    window, _ = windows(COMPLETE)
    assert window.feel is not None
    seen = (window.feel.flush_outside, window.feel.flush_inside, window.feel.touch)
    assert tuple(round(turns, 2) for turns in seen) == (0.42, 0.33, 0.09)


@pytest.mark.parametrize(
    ("thread", "rise", "metal", "needed"),
    [
        (9.525, 4 * 25.4 / 24, "steel", 9.0),
        (9.525, 4 * 25.4 / 24, "aluminium", 18.0),
        (9.525, 4 * 25.4 / 24, "unknown", 18.0),
        (8, 5, "steel", 6.4),
        (8, 5, "aluminium", 12.8),
    ],
)
def test_thread_kept_engaged(thread: float, rise: float, metal: str, needed: float) -> None:
    """model.md 6 (C): 3/8-24 needs 9.0 turns for one diameter, M8×1.25 6.4."""
    record = COMPLETE | {"upper_free_turns": 20, "thread_diameter": thread, "rise": rise, "bush_metal": metal}
    window, _ = windows(record)
    limit = next(limit for limit in window.limits if limit.name == "thread")
    assert limit.at == pytest.approx(20 - needed, abs=1e-9)


@pytest.mark.parametrize(("maker_in", "maker_out", "each_way"), [(0, 6, 3), (1, 5, 2)])
def test_a_makers_turns_each_way_of_the_middle(maker_in: float, maker_out: float, each_way: float) -> None:
    """sources.md D (common practice): six turns, three each way of the middle; others say two. Bookkeeping only."""
    found = readings(MAKER | {"maker_in": maker_in, "maker_out": maker_out, "play": 0, "smallest_turn": 0.01})
    for bolt in found.bolts:
        window = window_of(bolt, found)
        assert window.middle == pytest.approx(3, abs=1e-12)
        assert (window.inner.at, window.outer.at) == (3 - each_way, 3 + each_way)
        assert window.width == pytest.approx(2 * each_way, abs=0.02)
        assert window.width < 2 * each_way
        assert (window.inner.name, window.outer.name, window.feel) == ("maker_in", "maker_out", None)


def test_without_any_outer_limit_there_is_no_window() -> None:
    record = changed(COMPLETE, upper_touch_found="no", upper_touch_turns=None, upper_free_turns=20)
    with pytest.raises(NoOuterLimit):
        windows(record)


def place(window_record: dict[str, Any], now: float) -> tuple[WindowPlace, str | None, Window]:
    side = "out" if now >= 0 else "in"
    found = readings(window_record | {"upper_now_turns": round(abs(now), 9), "upper_now_side": side})
    window = window_of(found.bolts[0], found)
    stands = standing(found.bolts[0], window)
    assert stands.to_inner == pytest.approx(now - window.inner.usable, abs=1e-8)
    assert stands.to_outer == pytest.approx(window.outer.usable - now, abs=1e-8)
    return stands.place, None if stands.limit is None else stands.limit.name, window


def test_where_a_bolt_stands_is_told_from_the_limits_outward() -> None:
    expected = limits({})
    inner, outer, touch = expected["flush"].usable, expected["touch"].usable, expected["touch"]
    edge = touch.at - touch.interval
    near = 1e-6
    assert place(COMPLETE, inner + near)[:2] == (WindowPlace.INSIDE, None)
    assert place(COMPLETE, outer - near)[:2] == (WindowPlace.INSIDE, None)
    assert place(COMPLETE, inner - near)[:2] == (WindowPlace.INNER_RESERVE, "flush")
    assert place(COMPLETE, outer + near)[:2] == (WindowPlace.OUTER_RESERVE, "touch")
    assert place(COMPLETE, edge - near)[:2] == (WindowPlace.OUTER_RESERVE, "touch")
    assert place(COMPLETE, edge + near)[:2] == (WindowPlace.PAST_OUTER, "touch")
    assert place(COMPLETE, 0.0)[:2] == (WindowPlace.INNER_RESERVE, "flush")
    assert place(COMPLETE, -near)[:2] == (WindowPlace.PAST_INNER, "flush")


def test_past_several_limits_the_most_serious_is_named() -> None:
    record = COMPLETE | {"maker_out": 3, "maker_in": 0.5}
    assert place(record, 6.0)[:2] == (WindowPlace.PAST_OUTER, "touch")
    assert place(record, 4.0)[:2] == (WindowPlace.PAST_OUTER, "maker_out")
    assert place(record, -1.0)[:2] == (WindowPlace.PAST_INNER, "flush")
    assert place(record, 0.4)[:2] == (WindowPlace.PAST_INNER, "maker_in")


def test_flush_from_inside_the_strips_interval_counts_as_past_flush() -> None:
    """model.md 2: from inside, flush is read up to |u_τ| inside; there the bolt may stand past flush."""
    record = COMPLETE | {"flush_way": "inside"}
    interval = limits({"flush_way": "inside"})["flush"].interval
    assert place(record, interval - 1e-6)[:2] == (WindowPlace.PAST_INNER, "flush")
    assert place(record, interval + 1e-6)[:2] == (WindowPlace.INNER_RESERVE, "flush")


def test_the_widths_uncertainty_adds_what_both_ends_share() -> None:
    """From inside, the strip's thickness moves both ends the same way: its shares are added before the root."""
    window, _ = windows(COMPLETE | {"flush_way": "inside"})
    strip = sum(share(limit, strip=True) for limit in (window.inner, window.outer))
    rest = sum(share(limit, strip=False) for limit in (window.inner, window.outer))
    assert window.width_budget.combined**2 == pytest.approx(strip**2 + rest, rel=1e-12)


def share(limit: WindowLimit, *, strip: bool) -> float:
    parts = [each.share for each in limit.budget.contributions if ("strip" in each.name) is strip]
    return sum(parts) if strip else sum(part**2 for part in parts)
