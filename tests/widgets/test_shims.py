"""Shims: the table on the pocket's page, the sentence at the box, the card, and a count that no longer holds.

The turns are reckoned here by hand: a plate of 1 mm under a head that rises 4.23 mm in four turns is 0.946 turn. What
moves in the pocket is held against polygons in tests/mechanics/test_shims.py.
"""

from __future__ import annotations

import re

import pytest

from helpers.asking import COMPLETE, STRUNG, Data, all_texts, answered, lines_of, picture_of, table_of, values
from helpers.matrix import OWN, SETTLED, happened
from quarterturn.bench.judgement import Kind, Level, judge
from quarterturn.figures.svg import Picture
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import State, Way, name_of


def rows(**more: object) -> dict[str, tuple[str, ...]]:
    return {row[0]: row[1:] for row in table_of(answered(COMPLETE | more, "pocket"), "shims").rows}


HEAD, FLOOR, BEHIND = "under the head", "on the floor, where the limb rocks", "behind the butt end"


@pytest.mark.parametrize(("thick", "turns"), [(1, "0.95"), (0.3, "0.28"), (0.5, "0.47")])
def test_flush_moves_out_by_the_thickness_over_the_pitch(thick: float, turns: str) -> None:
    told = rows(shims_in="head", shim_thickness=thick)
    assert told[HEAD][:2] == (f"{turns} turn out",) * 2
    assert told[FLOOR][:2] == (f"{turns} turn out", f"up to {turns} turn out")
    assert told[BEHIND][0] == "stays"
    assert told[BEHIND][1].endswith(" in")
    assert told[BEHIND][3] == f"{thick:.2f} mm less"
    assert [told[place][3] for place in (HEAD, FLOOR)] == ["as before"] * 2


@pytest.mark.parametrize(("turns", "rim"), [(2.5, False), (0.96, False), (0.93, True), (0.2, True)])
def test_a_plate_that_leaves_only_the_rim_is_said_so(turns: float, rim: bool) -> None:
    told = rows(turns_shown=turns)
    assert [(told[place][2] == "only the rim bears") for place in (HEAD, FLOOR)] == [rim, rim]
    assert told[BEHIND][2] != "only the rim bears"


def test_a_plate_that_pushes_the_butt_off_is_said_so() -> None:
    """The head reaches 4 mm over the prongs (Pythagoras: 5, 3), and the butt 0.5 mm past its middle: less than 6."""
    small = {"head_diameter": 10, "slot_width": 6, "upper_rim_to_butt": 4.5, "upper_touch_turns": 3}
    assert rows(shims_in="head", shim_thickness=6, **small)[BEHIND][0] == "the butt is off the head"
    assert rows(shims_in="head", shim_thickness=0.5, **small)[BEHIND][0] == "stays"


def limb_of(picture: Picture) -> list[str]:
    """How the limb's outline is drawn."""
    shapes = re.findall(r'<(?:path|polygon)[^>]*class="[^"]*limb[^"]*"[^>]*>', picture.svg)
    return [part for shape in shapes for part in re.findall(r' (?:d|points)="([^"]*)"', shape)]


def test_the_limb_is_drawn_as_it_lies_with_the_shim() -> None:
    """A plate of 1 mm is 4/4.23 turn: with it the limb lies at 2½ turns as without it at 2½ less that."""
    with_it = answered(COMPLETE | {"shim_thickness": 1, "turns_shown": 2.5, "rise": 4.23}, "pocket")
    without = answered(COMPLETE | {"turns_shown": 2.5 - 4 / 4.23, "rise": 4.23}, "pocket")
    drawn = limb_of(picture_of(with_it, "shim-nearer"))
    assert drawn
    assert drawn == limb_of(picture_of(without, "small"))
    assert drawn != limb_of(picture_of(with_it, "small"))
    # One behind the butt end: as a butt whose end lies 1 mm nearer to the rim on the other side.
    nearer = {name: COMPLETE[name] + 1 for name in ("upper_rim_to_butt", "lower_rim_to_butt")}
    assert limb_of(picture_of(with_it, "shim-behind")) != limb_of(picture_of(with_it, "small"))
    pushed = answered(COMPLETE | nearer | {"turns_shown": 2.5, "rise": 4.23}, "pocket")
    assert limb_of(picture_of(with_it, "shim-behind"))[0] != limb_of(picture_of(pushed, "shim-behind"))[0]


def test_where_the_butt_would_be_off_the_head_nothing_is_drawn() -> None:
    small = {"head_diameter": 10, "slot_width": 6, "upper_rim_to_butt": 4.5, "upper_touch_turns": 3}
    answer = answered(COMPLETE | small | {"shims_in": "head", "shim_thickness": 6}, "pocket")
    assert "shim-behind" not in {name_of(block) for block in answer.blocks}


def test_the_picture_changes_the_table_and_the_example_has_one_too() -> None:
    assert rows(turns_shown=2)[HEAD] != rows(turns_shown=7)[HEAD]
    assert table_of(answered({}, "pocket"), "shims").title.startswith("A shim of 1.00 mm, with the bolt ")


@pytest.mark.parametrize(
    ("entered", "told"),
    [
        ({"shims_in": "head", "shim_thickness": 1, "rise": 4.23}, "Without it flush lies 0.95 turn farther in"),
        ({"shims_in": "floor", "shim_thickness": 0.5, "rise": 4.23}, "Without it flush lies 0.47 turn farther in"),
        ({"shims_in": "head", "shim_thickness": 1}, "Without it flush lies farther in"),
        ({"shims_in": "butt_end", "shim_thickness": 1}, "A shim of 1.0 mm. Without it the butt reaches"),
        ({"shims_in": "beside"}, "the line of the limbs"),
        ({"shims_in": "none"}, "None were in"),
        ({"shims_in": "several"}, "count again"),
    ],
)
def test_what_is_in_is_told_at_its_box(entered: Data, told: str) -> None:
    assert told in lines_of(answered(COMPLETE | entered))["tell-shims"].text


def test_nothing_is_told_before_somebody_has_looked() -> None:
    assert lines_of(answered(COMPLETE))["tell-shims"].text == ""
    assert lines_of(answered(COMPLETE | {"shims_in": "unknown"}))["tell-shims"].text == ""


def options() -> list[str]:
    field = BY_NAME["shims_in"]
    assert isinstance(field, ChoiceField)
    return [option.value for option in field.options]


@pytest.mark.parametrize("where", options())
def test_the_card_says_what_was_in_when_it_was_counted(where: str) -> None:
    card = answered(COMPLETE | STRUNG | {"shims_in": where, "shim_thickness": 1}, "card")
    drawn = " ".join(block.picture.svg for block in card.blocks if hasattr(block, "picture"))
    assert ("Shims" in drawn) is (where != "unknown")
    assert ("1.0 mm" in drawn) is (where in ("head", "floor", "butt_end", "beside"))


@pytest.mark.parametrize("found", ["slip", "nothing", "mended", ""])
def test_only_a_new_count_settles_changed_shims(found: str) -> None:
    settled = SETTLED | {"found": found} if found else {}
    (cause,) = judge(values(happened("shims", **settled))).causes
    assert (cause.kind, cause.level) == (Kind.SHIMS, Level.ASK)
    assert judge(values(happened("shims", **SETTLED | {"found": "counted"}))).causes == ()
    early = {"found": "counted", "found_on": "2026-06-09"}
    assert judge(values(happened("shims", **early))).causes, "counted before they were changed"


def test_the_way_on_the_first_page_does_not_call_it_done() -> None:
    def bench(record: Data) -> list[str]:
        ways = [block for block in answered(record, "start").blocks if isinstance(block, Way)]
        return [stage.mark for way in ways for stage in way.stages if stage.text == "Find the safe range"]

    assert bench(OWN) == ["done"]
    assert bench(happened("shims")) == ["stop"]
    assert bench(happened("shims", **SETTLED | {"found": "counted"})) == ["done"]


@pytest.mark.parametrize("page", ["safe-range", "plan", "carry-out", "after", "card", "log", "start", "tiller"])
def test_a_count_that_no_longer_holds_leads_to_no_turn(page: str) -> None:
    answer = answered(happened("shims"), page)
    assert answer.state is State.ASK
    assert "shims or washers were changed" in all_texts(answer)
    assert answered(OWN, page).state is not State.ASK
