"""What the widget says, family by family and place by place (DEVELOPERS.md, *Rules*).

No number is checked here: windows are held against a second computation in tests/bench. Margin, cover and exchanged
limbs are common practice (sources.md D).
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from helpers.asking import (
    COMPLETE,
    MAKER,
    answered,
    changed,
    lines_of,
    missing_of,
    numbers,
    points_of,
    readings,
    table_of,
    windows,
)
from helpers.drawn_answers import answers
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Drawing, Points, State, Status, Steps

BOTH_WAYS = COMPLETE | {"flush_way": "both", "upper_bracket": 0.5, "lower_bracket": 0.5}
WITH_STOP = COMPLETE | {"bolt_family": "stop", "upper_first_in": "flush", "lower_first_in": "stop"}
NOT_REACHED = changed(
    COMPLETE | {"maker_out": 5},
    upper_touch_found="no",
    upper_touch_turns=None,
    lower_touch_found="no",
    lower_touch_turns=None,
)
BASES = {
    "flat": COMPLETE,
    "both ways": BOTH_WAYS,
    "stop": WITH_STOP,
    "swivel": MAKER,
    "pivot": MAKER | {"bolt_family": "pivot"},
    "touch not reached": NOT_REACHED,
}
NEEDED = [
    (base, name)
    for base, record in BASES.items()
    for name in record
    if name != "version" and not (base == "touch not reached" and name == "maker_out")
]


def text_of(answer: Answer) -> str:
    """All its words."""
    return f"{answer.title} {answer.verdict} {answer.speak} {answer.as_data()}"


def steps_of(answer: Answer) -> list[str]:
    names = ("to-do", "way-back")
    return [step for block in answer.blocks if isinstance(block, Steps) and block.name in names for step in block.steps]


@pytest.mark.parametrize("record", BASES.values(), ids=BASES.keys())
def test_a_whole_record_gets_a_verdict_with_its_assumptions(record: dict[str, Any]) -> None:
    answer = answered(record)
    assert answer.state is State.GO
    assert "under the assumptions below" in answer.verdict
    assert "does not test strength" in answer.verdict
    assert all(value.status is not Status.EXAMPLE for value in answer.all_values())
    assert any(getattr(block, "name", "") == "assumed" for block in answer.blocks)
    assert any(isinstance(block, Points) and block.kind == "caution" for block in answer.blocks)


@pytest.mark.parametrize(("base", "name"), NEEDED)
def test_a_default_never_passes_for_a_reading(base: str, name: str) -> None:
    answer = answered(changed(BASES[base], **{name: None}))
    assert answer.state is State.EXAMPLE
    # What is missing leads to its box: a reading of two boxes to the first of them.
    boxes = missing_of(answer)
    assert {name, name.replace("touch_found", "touch_turns").replace("now_side", "now_turns")} & {*boxes}
    assert len(boxes) == 1 or name == "bolt_family"  # of another kind of bolt other readings are wanted
    bolt = next((each for each in BOLTS if name.startswith(each)), "")
    looked = not name.startswith("check_")
    waits = (bolt,) if bolt else () if not looked else BOLTS
    computed = {value.name for value in answer.all_values() if value.status is Status.COMPUTED}
    for each in BOLTS:
        assert (each in waits) <= (not {f"{each}_inner", f"{each}_outer"} & computed)
        # A range is told of the bolt that is done, and only once the bow was looked over.
        assert (f"on the {each} bolt; it is at" in answer.title) is (each not in waits and looked)
    assert "Do not string the bow yet." in answer.verdict
    assert ("does not speak of your bow" in answer.verdict) is (len(waits) == 2)
    assert "made-up" not in answer.title
    assert answer.badge == "Not finished"
    assert not re.search(r"[Ss]top:", f"{answer.title} {answer.verdict}")


def test_one_bolt_is_told_while_the_other_waits() -> None:
    answer = answered(changed(COMPLETE, lower_touch_turns=None, lower_now_turns=None))
    assert answer.title == (
        "Use ½ to 4¾ turns out on the upper bolt; it is at 2½: inside. Lower bolt: 2 readings to go"
    )
    statuses = {value.name: value.status for value in answer.all_values()}
    assert statuses["upper_inner"] is Status.COMPUTED
    assert statuses["lower_inner"] is Status.EXAMPLE


def test_the_examples_range_is_not_held_against_the_readers_place() -> None:
    """A place at zero would be outside the example's range: nothing is said of that, and no bolt is to be turned."""
    begun = {"bolt_family": "flat", "upper_now_turns": 0, "upper_now_side": "out"}
    answer = answered(begun)
    assert answer.state is State.EXAMPLE
    assert not re.search(r"inside|outside|too close|past", f"{answer.title} {answer.verdict} {answer.headline}")
    assert steps_of(answer) == []
    assert all("It is at" not in said for said in points_of(answer, "sure"))
    notes = {value.name: value.note for value in answer.all_values()}
    assert notes["upper_now"] == notes["lower_now"] == "U 0.08"
    # The example by itself is shown as one: range, place and what would come next.
    example = answered({})
    assert steps_of(example)
    assert all(said.startswith("In the example") and "It is at" in said for said in points_of(example, "sure"))
    # All read and not looked over: the range is no example's, and not told yet.
    (upper, lower) = points_of(answered(changed(COMPLETE, check_limbs=None)), "sure")
    assert upper == "Upper bolt: all read. Look the bow over first."
    assert lower == "Lower bolt: all read. Look the bow over first."


def test_names_of_limits_are_whole_in_every_picture() -> None:
    """With its number: of a limit whose words are cut off nobody knows where it is."""
    drawn = 0
    for record, answer in answers(first=150):
        for block in answer.blocks:
            if isinstance(block, Drawing) and block.picture.name.endswith("-scale"):
                assert "…" not in block.picture.svg, record
                drawn += 1
    assert drawn > 100


@pytest.mark.parametrize(("name", "known"), [("upper_now_turns", True), ("check_limbs", True), ("bolt_family", False)])
def test_what_is_known_of_one_bolt_counts_before_the_rest_is_in(name: str, known: bool) -> None:
    answer = answered(changed(COMPLETE | {"lower_now_turns": 9}, **{name: None}))
    assert answer.state is (State.STOP if known else State.EXAMPLE)


def test_an_answer_that_is_no_option_is_no_reading() -> None:
    """What could not be read is absent: the answer falls back to the example and never to a guess."""
    for name in ("check_limbs", "flush_way", "upper_touch_found", "lower_now_side"):
        assert answered(changed(COMPLETE, **{name: ""})).state is State.EXAMPLE


def test_nothing_entered_is_the_worked_example() -> None:
    answer = answered({})
    assert answer.state is State.EXAMPLE
    assert "made-up" in answer.title
    assert "does not speak of your bow" in answer.verdict
    assert not any(
        value.status in (Status.ENTERED, Status.COMPUTED)
        for value in answer.all_values()
        if "_" in value.name and value.name.startswith(("upper", "lower"))
    )


@pytest.mark.parametrize("bolt", ["upper", "lower"])
def test_past_first_touch_do_not_string_and_the_way_back(bolt: str) -> None:
    answer = answered(COMPLETE | {f"{bolt}_now_turns": 6})
    assert answer.state is State.STOP
    assert f"{bolt} bolt" in answer.title
    assert "past first touch" in answer.title
    assert "Do not string" in answer.verdict
    turned = [step for step in steps_of(answer) if step.startswith(f"{bolt.capitalize()} bolt")]
    assert turned
    assert all(" in, to" in step for step in turned)
    assert "String off" in steps_of(answer)[0]
    assert "Do not string the bow until the stop here is gone." in steps_of(answer)[-1]


@pytest.mark.parametrize(
    ("changes", "way"),
    [
        ({"upper_now_turns": 0.1}, "out"),
        ({"upper_now_side": "in", "upper_now_turns": 0.5}, "out"),
        ({"upper_now_turns": 5.0}, "in"),
        ({"upper_now_turns": 9}, "in"),
        # In a window narrower than a turn both ends are nearer than a turn.
        ({"upper_touch_turns": 2, "upper_now_turns": 0.2}, "out"),
        ({"upper_touch_turns": 2, "upper_now_turns": 1.9}, "in"),
        ({"maker_in": 2, "maker_out": 3.4, "lower_now_turns": 2.6, "upper_now_turns": 1.9}, "out"),
        ({"maker_in": 2, "maker_out": 3.4, "lower_now_turns": 2.6, "upper_now_turns": 3.4}, "in"),
        ({"maker_in": 2, "maker_out": 2.8, "lower_now_turns": 2.4, "upper_now_turns": 2.9}, "in"),
        ({"maker_in": 2, "maker_out": 2.8, "lower_now_turns": 2.4, "upper_now_turns": 1.5}, "out"),
    ],
)
def test_the_direction_of_the_way_back(changes: dict[str, Any], way: str) -> None:
    """The verdict and every step turn toward the window, however narrow it is: by the window's own ends (C)."""
    record = COMPLETE | changes
    answer = answered(record)
    assert answer.state is State.STOP
    window, now = windows(record)[0], readings(record).bolts[0].now.turns
    assert way == ("out" if now < window.inner.usable else "in")
    assert re.search(rf"(turn the upper bolt|the upper bolt) {way} to", answer.verdict)
    turned = [step for step in steps_of(answer) if step.startswith("Upper bolt")]
    assert turned
    assert all(f" {way}, to" in step for step in turned)


@pytest.mark.parametrize("bolt", ["upper", "lower"])
def test_inside_flush_unstring_and_inspect_first(bolt: str) -> None:
    answer = answered(COMPLETE | {f"{bolt}_now_side": "in", f"{bolt}_now_turns": 0.5})
    assert answer.state is State.STOP
    assert "½ turn past flush" in answer.title
    assert "String off, limb out" in answer.verdict
    for part in ("bolt", "butt", "slot"):
        assert part in answer.verdict
    for part in ("head", "shank", "butt", "slot"):
        assert part in " ".join(steps_of(answer)[:2])
    turned = [step for step in steps_of(answer) if step.startswith(f"{bolt.capitalize()} bolt")]
    assert turned
    assert all(" out, to" in step for step in turned)


def test_past_first_touch_is_said_first_where_both_are_outside() -> None:
    record = COMPLETE | {"upper_now_side": "in", "upper_now_turns": 1, "lower_now_turns": 8}
    answer = answered(record)
    assert answer.state is State.STOP
    assert "Do not string" in answer.verdict
    assert "look at bolt, butt and slot" in answer.verdict
    assert "past flush" in answer.title
    assert "past first touch" in answer.title


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"upper_now_turns": 0.1}, "at 0.1, too close to flush"),
        ({"upper_now_turns": 5.0}, "at 5, too close to first touch"),
        ({"maker_out": 2}, "maker's outer limit"),
        ({"maker_in": 2.25}, "maker's inner limit"),
        ({"upper_free_turns": 20, "thread_diameter": 9.525, "rise": 4.23, "upper_now_turns": 4}, "thread"),
        ({"upper_rim_to_butt": 9.2, "upper_now_turns": 4}, "slip off the head"),
    ],
)
def test_every_other_place_outside_is_a_stop_with_its_reason(changes: dict[str, Any], words: str) -> None:
    answer = answered(COMPLETE | changes)
    assert answer.state is State.STOP
    assert words in answer.title
    assert any(
        "half a turn" in step or "a quarter of a turn" in step or "turn" in step for step in steps_of(answer)[1:]
    )


def test_a_stop_where_the_stop_came_first() -> None:
    record = WITH_STOP | {"upper_stop_turns": 1, "upper_now_side": "in", "upper_now_turns": 0.5}
    assert "½ turn past flush" in answered(record).title


@pytest.mark.parametrize("family", ["swivel", "pivot"])
def test_only_the_makers_range_where_nothing_can_be_felt(family: str) -> None:
    answer = answered(MAKER | {"bolt_family": family})
    assert "Only the maker's range applies" in answer.verdict
    assert "where the manual counts from" in answer.verdict
    assert not any("side" in str(getattr(getattr(block, "picture", None), "name", "")) for block in answer.blocks)
    assert answered(MAKER | {"bolt_family": family, "upper_now_turns": 7}).state is State.STOP
    assert answered(MAKER | {"bolt_family": family, "upper_now_side": "in"}).state is State.STOP


@pytest.mark.parametrize("base", [COMPLETE, MAKER, {"version": 1}])
def test_a_clamping_bolt_is_never_backed_out(base: dict[str, Any]) -> None:
    answer = answered(base | {"bolt_family": "clamp"})
    counted = "upper_now_turns" in base
    assert answer.state is (State.ASK if counted else State.EXPLAIN)
    assert answer.title == ("Which bolt is it? Its turns were counted" if counted else "Leave the bolts alone")
    assert "Leave it hand-tight" in answer.verdict
    assert "Never back it out" in answer.verdict
    assert answer.all_values() == ()


@pytest.mark.parametrize("base", [COMPLETE, MAKER, {"version": 1}])
def test_an_unknown_bolt_is_found_out_first(base: dict[str, Any]) -> None:
    answer = answered(base | {"bolt_family": "unknown"})
    assert answer.state is State.ASK
    assert "turn nothing" in answer.verdict
    assert answer.all_values() == ()


def test_a_strip_too_thick_for_a_small_range_leaves_no_window_rather_than_a_question() -> None:
    thick = changed(COMPLETE, strip_thickness=0.5, upper_touch_turns=1)
    assert answered(thick).state is State.NO_WINDOW


def test_a_strip_too_thick_from_outside_may_serve_from_inside() -> None:
    # 0.5 mm stops at the rim beyond first touch at 2.4 turns (test_bad_input); from inside that is no matter.
    thick = changed(COMPLETE, strip_thickness=0.5, upper_touch_turns=2.4, flush_way="inside")
    assert answered(thick).state is State.NO_WINDOW


def test_no_window_left_is_a_verdict_of_its_own() -> None:
    answer = answered(COMPLETE | {"margin": 2, "lower_touch_turns": 3.5})
    assert answer.state is State.NO_WINDOW
    assert "Do not use this riser with these limbs" in answer.verdict
    assert "no turn is safe on the lower bolt" in answer.title
    assert "technician" in answer.verdict
    assert not any(step.startswith(("Upper bolt", "Lower bolt")) for step in steps_of(answer))


@pytest.mark.parametrize(("upper", "lower", "told"), [(175, 179, True), (175, 175.5, False), (179, 175, False)])
def test_tillers_of_exchanged_limbs_ask_to_look_at_the_marks(upper: float, lower: float, told: bool) -> None:
    for record in (COMPLETE, COMPLETE | {"upper_now_turns": 6}):
        answer = answered(record | {"upper_tiller": upper, "lower_tiller": lower})
        assert ("Look at the marks on both limbs first" in text_of(answer)) is told


def test_safe_is_never_said_without_assumptions_and_strength_is_never_certified() -> None:
    for record, answer in answers():
        assert "certif" not in text_of(answer), record
        if answer.state is State.GO:
            assert "under the assumptions below" in answer.verdict
            assert "does not test strength" in answer.verdict


def test_the_headline_is_what_a_hand_can_set() -> None:
    """Whole quarters, rounded inward, of the named values (C); hundredths are one fold away."""
    looked = 0
    for record, answer in answers():
        if answer.state is not State.GO:
            continue
        assert not re.search(r"[0-9][.][0-9]{2}", f"{answer.title} {answer.verdict}"), record
        found = numbers(answer)
        for bolt in BOLTS:
            first, last = (quarters(found[f"{bolt}_{end}"], end == "inner") for end in ("inner", "outer"))
            assert f"{written(first)} to {written(last)} " in answer.title or first == last, record
            looked += 1
        assert any(isinstance(block, Points) and block.name == "sure" and block.folded for block in answer.blocks)
    assert looked > 50


def quarters(turns: float, inner: bool) -> float:
    """The nearest whole quarter inside the window: computed in another way than the package's."""
    count = 0
    while (count / 4 < turns - 1e-9) if inner else ((count + 1) / 4 <= turns + 1e-9):
        count += 1
    return count / 4


def written(turns: float) -> str:
    whole, rest = int(turns), ("", "¼", "½", "¾")[round(4 * (turns % 1))]
    return f"{whole or ''}{rest}" or "0"


def test_a_bolt_past_the_last_quarter_is_just_inside() -> None:
    upper, _ = windows(COMPLETE)
    inside = answered(COMPLETE | {"upper_now_turns": round(upper.outer.usable - 0.001, 4)})
    assert "it is at 4.8: just inside" in inside.title
    assert inside.state is State.GO


def test_a_window_without_a_quarter_is_left_alone_and_asked_about() -> None:
    """Between 2 and 2¼ turns, where no quarter lies: from the named values (C)."""
    narrow = COMPLETE | {"maker_in": 2.03, "maker_out": 2.3, "upper_now_turns": 2.15, "lower_now_turns": 2.15}
    answer = answered(narrow)
    found = numbers(answer)
    assert found["upper_inner"] < 2.15 < found["upper_outer"]
    assert quarters(found["upper_inner"], True) > found["upper_outer"]
    assert answer.state is State.ASK
    assert "less than a quarter turn is safe" in answer.title


def test_what_is_counted_from_is_named_by_what_was_felt() -> None:
    assert "where the paper stopped, coming in" in answered(COMPLETE).verdict
    assert "where the paper stopped, backing out" in answered(COMPLETE | {"flush_way": "inside"}).verdict
    assert "its stop on the lower" in answered(WITH_STOP).verdict
    assert "flush" not in answered(COMPLETE).verdict


def test_the_logs_place_is_what_the_worksheet_shows() -> None:
    answer = answered(COMPLETE | {"log": [{"date": "2026-05-01", "upper_at": 3.5}]})
    assert "it is at 3½: inside" in answer.title
    assert numbers(answer)["upper_now"] == 3.5
    assert any("log has the upper bolt at 3½" in text for text in points_of(answer, "remarks"))


def test_what_another_page_cannot_use_is_not_listed_as_entered() -> None:
    table = table_of(answered(COMPLETE | {"string_twists": "inf", "wanted_weight": 40}), "entered")
    rows = {row[0]: row[1] for row in table.rows}
    assert rows[BY_NAME["wanted_weight"].label] == "40 lb"
    assert BY_NAME["string_twists"].label not in rows
    assert "inf" not in rows.values()


def test_a_verdict_other_than_the_example_is_given_only_to_whole_inspections() -> None:
    for record, answer in answers():
        if answer.state in (State.GO, State.NO_WINDOW):
            assert all(
                record[name] not in ("fault", "unsure", "on", "forbids", "seized")
                for name in record
                if name.startswith("check_")
            )
            assert sum(name.startswith("check_") for name in record) == 7


def test_assumed_is_only_what_this_page_asks_for() -> None:
    """What another page assumes, such as the length of the string, has no part in this answer."""
    assumed = {row[0] for row in table_of(answered(COMPLETE), "assumed").rows}
    labels = {BY_NAME[name].label for name in WIDGETS["safe-range"].fields()}
    assert assumed <= labels
    assert BY_NAME["slot_width"].label in assumed
    assert BY_NAME["string_length"].label not in assumed


@pytest.mark.parametrize(("hand", "inward", "outward"), [("right", "", "anti"), ("left", "anti", "")])
def test_the_key_s_way_is_told_where_the_thread_s_hand_was_seen(hand: str, inward: str, outward: str) -> None:
    """A right-hand thread goes in when it is turned clockwise (ISO 5408, M); a left-hand one is its mirror."""
    for turns, side, way, clock in ((9, "out", "in", inward), (0.5, "in", "out", outward)):
        record = COMPLETE | {"upper_now_turns": turns, "upper_now_side": side}
        unknown = steps_of(answered(record))
        assert not any("clockwise" in step for step in unknown)
        assert any("look which way the head moves" in step for step in unknown)
        known = steps_of(answered(record | {"thread_hand": hand}))
        turned = [step for step in known if step.startswith("Upper bolt")]
        assert turned
        assert all(f" {way} ({clock}clockwise, facing the head), to" in step for step in turned)
        assert not any("look which way" in step for step in known)


def test_a_left_hand_thread_changes_no_number() -> None:
    """Counts are in and out, whichever way the key goes: steps that were written before stay right."""
    right, left = (answered(COMPLETE | {"thread_hand": hand}) for hand in ("right", "left"))
    assert numbers(right) == numbers(left)
    assert lines_of(left)["tell-hand"].text.startswith("A left-hand thread.")
