"""What holds for every window, whatever was read (model.md section 2; C): drawn benches, no expected numbers."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from helpers.asking import COMPLETE, changed, readings, windows
from quarterturn.bench.readings import BoltReadings, Readings
from quarterturn.bench.window import NoOuterLimit, Window, window_of
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME

pytestmark = pytest.mark.long

WIDEN = 1e-9


def rounded(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda x: round(x, 3))


def of_a_bolt(bolt: str) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {
            f"{bolt}_first_in": st.just("flush"),
            f"{bolt}_touch_turns": rounded(2.5, 9),
            f"{bolt}_now_turns": rounded(0, 9),
            f"{bolt}_rim_to_butt": rounded(0, 8),
            f"{bolt}_bracket": rounded(0, 2),
        },
        optional={f"{bolt}_stop_turns": rounded(0, 3), f"{bolt}_free_turns": rounded(10, 30)},
    )


SHARED = st.fixed_dictionaries(
    {"bolt_family": st.sampled_from(["flat", "stop"]), "flush_way": st.sampled_from(["outside", "inside", "both"])},
    optional={
        "strip_thickness": rounded(0.02, 0.12),
        "smallest_turn": rounded(0.01, 0.4),
        "play": rounded(0, 0.4),
        "margin": rounded(0.25, 1.5),
        "maker_in": rounded(0, 1),
        "maker_out": rounded(1.5, 9),
        "rise": rounded(3, 6),
        "head_diameter": rounded(17, 24),
        "slot_width": rounded(6, 12),
        "fulcrum_arm": rounded(40, 90),
        "limb_depth": rounded(4, 14),
        "thread_diameter": rounded(6, 10),
        "caliper_step": rounded(0.01, 0.3),
    },
)
BENCHES = st.tuples(SHARED, of_a_bolt("upper"), of_a_bolt("lower")).map(
    lambda parts: COMPLETE | parts[0] | parts[1] | parts[2]
)


def found(record: dict[str, Any]) -> tuple[Window, Window]:
    """Both windows; a bench whose strip can tell nothing is not what is looked at here."""
    try:
        return windows(record)
    except PocketError:
        assume(False)
        raise


def wider(after: Window, before: Window) -> bool:
    return after.inner.usable < before.inner.usable - WIDEN or after.outer.usable > before.outer.usable + WIDEN


@given(BENCHES, st.sampled_from(["maker_in", "maker_out", "stop", "thread"]), st.floats(0, 12))
def test_another_limit_never_widens(record: dict[str, Any], name: str, at: float) -> None:
    less = {
        "maker_in": {"maker_in": None},
        "maker_out": {"maker_out": None},
        "stop": {"upper_stop_turns": None},
        "thread": {"upper_free_turns": None},
    }[name]
    more = {
        "maker_in": {"maker_in": min(at, record.get("maker_out", 15) - 0.5)},
        "maker_out": {"maker_out": at + record.get("maker_in", 0) + 0.1},
        "stop": {"bolt_family": "stop", "upper_stop_turns": at},
        "thread": {"upper_free_turns": at + 15, "thread_diameter": 9},
    }[name]
    assume(all(value >= 0 for value in more.values() if isinstance(value, float)))
    before, _ = found(changed(record, **less))
    after, _ = found(changed(record, **more))
    assert not wider(after, before)
    assert len(after.limits) >= len(before.limits) - 1


@given(BENCHES, st.sampled_from(["smallest_turn", "play", "margin", "caliper_step", "strip_thickness"]), st.data())
def test_another_uncertainty_never_widens(record: dict[str, Any], name: str, data: st.DataObject) -> None:
    field = BY_NAME[name]
    assert isinstance(field, NumberField)
    now = record.get(name, field.default)
    highest = 0.13 if name == "strip_thickness" else field.high
    more = data.draw(st.floats(now, highest))
    before, after = found(record | {name: now}), found(record | {name: more})
    assert not wider(after[0], before[0])
    assert not wider(after[1], before[1])


@given(BENCHES)
def test_mirror_of_upper_and_lower(record: dict[str, Any]) -> None:
    mirrored = {
        name.replace("upper", "LOWER").replace("lower", "upper").replace("LOWER", "lower"): value
        for name, value in record.items()
    }
    upper, lower = found(record)
    upper_mirrored, lower_mirrored = found(mirrored)
    assert replace(upper_mirrored, bolt="lower") == lower
    assert replace(lower_mirrored, bolt="upper") == upper


@given(BENCHES)
def test_millimetres_and_inches(record: dict[str, Any]) -> None:
    inches = {
        name: {"typed": repr(value / 25.4), "unit": "in"} if is_length(name) else value
        for name, value in record.items()
    }
    for one, other in zip(found(record), found(inches), strict=True):
        assert one.inner.name == other.inner.name
        assert one.inner.usable == pytest.approx(other.inner.usable, rel=1e-9, abs=1e-9)
        assert one.outer.usable == pytest.approx(other.outer.usable, rel=1e-9, abs=1e-9)
        assert one.width_budget.combined == pytest.approx(other.width_budget.combined, rel=1e-9)


def is_length(name: str) -> bool:
    field = BY_NAME.get(name)
    return isinstance(field, NumberField) and field.unit == "mm"


def scaled(bench: Readings, size: float) -> Readings:
    """The same bench with every length so many times as large."""
    return replace(
        bench,
        resolution=replace(bench.resolution, caliper_step=bench.resolution.caliper_step * size),
        pitch=replace(bench.pitch, value=bench.pitch.value * size, uncertainty=bench.pitch.uncertainty * size),
        strip=bench.strip * size,
        thread_diameter=None if bench.thread_diameter is None else bench.thread_diameter * size,
        bolts=tuple(scaled_bolt(bolt, size) for bolt in bench.bolts),
    )


def scaled_bolt(bolt: BoltReadings, size: float) -> BoltReadings:
    assert bolt.dimensions is not None
    names = ("fulcrum_arm", "limb_depth", "head_radius", "slot_half_width", "rim_to_butt")
    grown = {name: getattr(bolt.dimensions, name) * size for name in names}
    return replace(bolt, dimensions=replace(bolt.dimensions, **grown))


@given(BENCHES, st.sampled_from([0.1, 10.0]))
def test_a_scale_of_ten_changes_no_turns(record: dict[str, Any], size: float) -> None:
    before = found(record)
    bench = scaled(readings(record), size)
    for bolt, old in zip(bench.bolts, before, strict=True):
        new = window_of(bolt, bench)
        assert [limit.name for limit in new.limits] == [limit.name for limit in old.limits]
        for one, other in zip(new.limits, old.limits, strict=True):
            assert one.usable == pytest.approx(other.usable, rel=1e-8, abs=1e-8)


@given(BENCHES)
def test_no_window_is_wider_than_what_was_read(record: dict[str, Any]) -> None:
    """Nothing usable lies beyond a reading: inside zero less its stop, or beyond first touch."""
    for bolt, window in zip(("upper", "lower"), found(record), strict=True):
        assert window.inner.usable >= record["margin"] if "margin" in record else window.inner.usable >= 0.25
        assert window.outer.usable <= record[f"{bolt}_touch_turns"] - 0.25
        assert all(limit.usable <= window.inner.usable + WIDEN for limit in window.limits if limit.end == "inner")
        assert all(limit.usable >= window.outer.usable - WIDEN for limit in window.limits if limit.end == "outer")


@given(BENCHES)
def test_touch_that_was_not_reached_needs_another_outer_limit(record: dict[str, Any]) -> None:
    without = changed(
        record,
        upper_touch_found="no",
        upper_touch_turns=None,
        maker_out=None,
        upper_free_turns=None,
        flush_way="outside",
    )
    try:
        with pytest.raises(NoOuterLimit):
            windows(without)
    except PocketError:
        assume(False)
