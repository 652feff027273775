"""How far a record has come, against counts made by hand from issue 3 and the list of readings of issue 2."""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import ALONE, CLAMP, COMPLETE, GATE, LOOKED_OVER, MAKER, changed, values
from quarterturn.bench.judgement import judge
from quarterturn.bench.progress import CHECKS, READ, Progress, inspected, read
from quarterturn.record.field_types import Scope
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import WIDGETS

SEEN = ("inspected_on", "inspected_by")
"""Asked for on the worksheet too; no reading."""
BY_HEIGHTS = changed(
    COMPLETE | {"rise": 4.23, "upper_height_zero": 6, "upper_height_touch": 11.5, "upper_height_now": 8.6},
    upper_touch_turns=None,
    upper_now_turns=None,
)
COUNTS: list[tuple[str, dict[str, Any], int, int]] = [
    # Each bolt: touch found, touch, side, now, rim to butt; both: way of looking, head. 2·5 + 2.
    ("nothing", {}, 0, 12),
    ("all of a flat head", COMPLETE, 12, 12),
    ("one of them", {"head_diameter": 19}, 1, 12),
    ("one that cannot be read", COMPLETE | {"upper_touch_turns": "x"}, 11, 12),
    ("one beyond its limit", COMPLETE | {"upper_touch_turns": 99}, 11, 12),
    ("a setting is no reading", {"margin": 0.5, "strip_thickness": 0.1}, 0, 12),
    ("touch not reached", {"upper_touch_found": "no"}, 1, 11),
    ("touch not reached and a count all the same", {"upper_touch_found": "no", "upper_touch_turns": 5}, 1, 11),
    ("from both sides", {"flush_way": "both"}, 1, 14),
    ("a bolt with a stop", {"bolt_family": "stop"}, 0, 14),
    ("the thread counted", {"upper_free_turns": 25}, 0, 14),
    ("by heights", BY_HEIGHTS, 12, 12),
    ("by heights without a pitch", changed(BY_HEIGHTS, rise=None), 12, 13),
    # Each bolt: side, now; both: the maker's two limits.
    ("a head that swivels", {"bolt_family": "swivel"}, 0, 6),
    ("the maker's range", MAKER, 6, 6),
    ("half of the maker's range", changed(MAKER, maker_in=None), 5, 6),
    # A pitch that no bolt has refuses the worksheet; it does not make a bow complete.
    ("no pitch", {"rise": 1}, 0, 12),
    ("no pitch, all else", COMPLETE | {"rise": 1}, 12, 12),
    # Nothing is to be read.
    ("a bolt that only clamps", {"bolt_family": "clamp"}, 0, 0),
    ("a screw under the limb", {"bolt_family": "under"}, 0, 0),
    ("two bolts a limb", {"bolt_family": "two"}, 0, 0),
    ("a bow of one piece", {"bolt_family": "fixed"}, 0, 0),
    ("a bolt nobody knows", {"bolt_family": "unknown"}, 0, 0),
]


@pytest.mark.parametrize(("record", "done", "wanted"), [row[1:] for row in COUNTS], ids=[row[0] for row in COUNTS])
def test_readings_are_counted(record: dict[str, Any], done: int, wanted: int) -> None:
    assert read(values(record)) == Progress(done, wanted)


def test_complete_is_all_of_something() -> None:
    assert Progress(12, 12).complete
    assert not Progress(11, 12).complete
    assert not Progress(0, 0).complete


def test_the_inspection_counts_twenty_things_and_no_short_question_twice() -> None:
    assert len(CHECKS) == len(set(CHECKS)) == 28
    # The string, four of the limbs, five of the bolt that clamps, the bow string.
    assert inspected(values({"bolt_family": "clamp"})) == Progress(0, 11)
    assert inspected(values(CLAMP)) == Progress(6, 11)
    # The string, four of the limbs, where limb and riser meet, the bow string.
    for kind, items in (("under", 3), ("two", 3), ("fixed", 1)):
        assert inspected(values({"bolt_family": kind})) == Progress(0, 6 + items)
        assert inspected(values(ALONE[kind])) == Progress(1 + items, 6 + items)
    assert inspected(values({})) == Progress(0, 20)
    assert inspected(values(LOOKED_OVER)) == Progress(20, 20)
    # Manual, string and lock stand in both lists; the other four short questions are no items.
    assert inspected(values(GATE)) == Progress(3, 20)
    assert inspected(values({"limb_twist": "fault", "check_limbs": "fine"})) == Progress(1, 20)


def test_what_other_pages_ask_for_does_not_make_the_worksheet_unusable() -> None:
    """The start page must not say that entries cannot be used where the worksheet answers."""
    asked = {name for name in WIDGETS["safe-range"].fields() if BY_NAME[name].scope is Scope.BOW}
    assert set(READ) == asked - set(SEEN)
    for name in ("string_length", "draw_length", "fulcrum_span", *SEEN):
        assert judge(values(COMPLETE | {name: "x"})).positions.unusable == ()
