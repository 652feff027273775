"""The locks of a bolt: each that can be named is drawn, and holds the bolt where its words say.

What touches and what lies apart is read from the coordinates (C).
"""

from __future__ import annotations

import pytest

from drawings import form_drawings
from drawings.locks import LOCKS, lock_drawing
from figures.reading import Drawing
from helpers.sketches import shapes, wrongs
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME

each_lock = pytest.mark.parametrize("name", LOCKS)


def test_every_lock_that_can_be_named_is_drawn_but_none_and_the_unknown() -> None:
    field = BY_NAME["bolt_lock"]
    assert isinstance(field, ChoiceField)
    assert [*LOCKS] == [option.value for option in field.options if option.value not in ("unknown", "none")]
    assert set(form_drawings("safe-range")) == {f"bolt_lock={name}" for name in LOCKS}


@each_lock
def test_nothing_is_wrong_with_the_drawing(name: str) -> None:
    assert wrongs(lock_drawing(name, prefix="some-page"), "some-page") == []


def test_they_differ_by_more_than_words() -> None:
    assert len({shapes(lock_drawing(name, prefix="p"), "p") for name in LOCKS}) == len(LOCKS)
    assert len({lock_drawing(name, prefix="p").description for name in LOCKS}) == len(LOCKS)


def spans(name: str, key: str) -> tuple[float, float, float, float]:
    """From left to right and from top to bottom of a part."""
    points = Drawing(lock_drawing(name, prefix="p")).points(f"p-{key}")
    return (
        min(x for x, _ in points), max(x for x, _ in points), min(y for _, y in points), max(y for _, y in points),
    )  # fmt: skip


@pytest.mark.parametrize("name", ["set_screw", "collet", "drag"])
def test_it_meets_the_thread_within_the_riser(name: str) -> None:
    shank, lock = spans(name, "shank"), spans(name, "lock")
    assert shank[1] - 3 <= lock[0] <= shank[1]
    assert shank[2] < lock[2] < lock[3] < shank[3] + 1


def test_the_nut_is_round_the_thread_and_the_ring_is_on_its_far_end() -> None:
    for name in ("counter_nut", "captive"):
        shank, lock = spans(name, "shank"), spans(name, "lock")
        assert lock[0] < shank[0] < shank[1] < lock[1]
        assert shank[2] < lock[2] < lock[3] < shank[3]
    middle = sum(spans("captive", "shank")[2:]) / 2
    assert spans("counter_nut", "lock")[3] < spans("captive", "lock")[2]
    assert spans("captive", "lock")[2] > middle


def test_another_name_is_refused() -> None:
    with pytest.raises(ValueError, match="name must be one of set_screw"):
        lock_drawing("unknown", prefix="p")
