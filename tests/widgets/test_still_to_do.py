"""How far the readings have come: what is done and what is missing are all that is wanted; each missing has its box."""

from __future__ import annotations

import itertools
import random
import re

import pytest

from helpers.asking import COMPLETE, GATE, MAKER, Data, answered, changed, missing_of
from helpers.drawn_answers import answers
from helpers.nav import page_names
from quarterturn.record.field_types import Role
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, State, Tally, TallyPart
from quarterturn.widgets.render import BASE_MARK, pieces

BOTH = COMPLETE | {"flush_way": "both", "upper_bracket": 0.5, "lower_bracket": 0.5}
STOP = COMPLETE | {"bolt_family": "stop", "upper_first_in": "flush", "lower_first_in": "stop"}
LENGTHS = COMPLETE | {"rise": 4.23, "thread_diameter": 9.5, "bolt_length": 40, "upper_stand_zero": 12}
LENGTHS |= {"lower_stand_zero": 11.5}
READINGS: dict[str, tuple[Data, dict[str, tuple[tuple[str, ...], ...]]]] = {
    "flat": (COMPLETE, {}),
    "both ways": (BOTH, {"bolt": (("*_bracket",),)}),
    "stop": (STOP, {"bolt": (("*_first_in",),)}),
}
"""Of these bows each reading is of the boxes that are filled in one go; what is wanted beside those of a flat head."""
OF_A_BOLT = (("*_touch_turns", "*_touch_found"), ("*_now_turns", "*_now_side"), ("*_rim_to_butt",))
OF_BOTH = (("flush_way",), ("head_diameter",))


def tally(answer: Answer) -> Tally | None:
    found = [block for block in answer.blocks if isinstance(block, Tally)]
    assert len(found) <= 1
    return found[0] if found else None


def parts(record: Data) -> dict[str, TallyPart]:
    found = tally(answered(record))
    assert found is not None
    assert (found.name, len({part.name for part in found.parts})) == ("count", len(found.parts))
    return {part.name: part for part in found.parts}


def readings_of(name: str) -> dict[str, tuple[tuple[str, ...], ...]]:
    """The boxes of each reading, part by part: written down from the page's steps by hand."""
    more = READINGS[name][1].get("bolt", ())
    found = {
        bolt: tuple(tuple(each.replace("*", bolt) for each in boxes) for boxes in (*OF_A_BOLT, *more)) for bolt in BOLTS
    }
    return found | {"both": OF_BOTH, "inspection": (("bolt_family",), *((check,) for check in GATE))}


@pytest.mark.parametrize("name", READINGS)
def test_every_reading_is_counted_once_and_leads_to_its_box(name: str) -> None:
    """Any of them taken away, one or many at a time: done and missing together are what is wanted, part by part."""
    whole, wanted = READINGS[name][0], readings_of(name)
    rng = random.Random(2)
    kept = [("bolt_family",), ("flush_way",)] if name == "both ways" else [("bolt_family",)]  # on them others depend
    every = [(part, boxes) for part, readings in wanted.items() for boxes in readings if boxes not in kept]
    for _ in range(60):
        taken = rng.sample(every, rng.randint(1, len(every)))
        away = [rng.choice([boxes, boxes[:1], boxes[-1:]]) for _, boxes in taken]
        found = parts(changed(whole, **dict.fromkeys(itertools.chain(*away))))
        assert set(found) == set(wanted)
        for part, readings in wanted.items():
            mine = [boxes for of, boxes in taken if of == part]
            assert found[part].wanted == len(readings)
            assert found[part].done == len(readings) - len(mine)
            if part == "inspection":  # one way leads to all of them
                assert [each.page for each in found[part].missing] == ["before"] * bool(mine)
                assert {each.field for each in found[part].missing} <= {boxes[0] for boxes in mine}
            else:
                assert {each.field for each in found[part].missing} == {boxes[0] for boxes in mine}
                assert {each.page for each in found[part].missing} <= {"safe-range"}


def test_there_is_a_count_only_while_something_is_missing() -> None:
    for record in (COMPLETE, MAKER, BOTH, STOP, LENGTHS):
        assert tally(answered(record)) is None
    assert tally(answered(changed(COMPLETE, check_lock=None))) is not None
    # Under a stop it is not what is missing that matters.
    assert tally(answered(changed(COMPLETE, lower_touch_turns=None, limb_cracks="fault"))) is None


def test_of_an_empty_record_everything_is_to_go() -> None:
    """By hand from the steps of the page: three a bolt, two of both, the kind of bolt and seven questions."""
    found = parts({})
    assert {name: (part.done, part.wanted) for name, part in found.items()} == {
        "upper": (0, 3), "lower": (0, 3), "both": (0, 2), "inspection": (0, 8),
    }  # fmt: skip
    assert "8 readings and 8 answers to go" in answered({}).verdict


def test_the_headline_says_the_numbers_of_the_list_below_it() -> None:
    """A part that is done may be left out of it; no other number is told, and none that is not nought is left out."""
    seen = 0
    for _, answer in answers():
        told = dict(re.findall(r"(Upper|Lower|Both) bolts?: (\d+|all read)", answer.headline))
        counts = tally(answer)
        if counts is None or not told:
            continue
        left = {part.title.split()[0]: part.wanted - part.done for part in counts.parts if part.name != "inspection"}
        assert {name: int(number.replace("all read", "0")) for name, number in told.items()}.items() <= left.items()
        assert {name for name, count in left.items() if count} <= set(told), answer.headline
        seen += 1
    assert seen > 50


def test_a_makers_range_wants_two_limits_and_two_places() -> None:
    found = parts({"bolt_family": "swivel"})
    assert {name: (part.done, part.wanted) for name, part in found.items()} == {
        "upper": (0, 1), "lower": (0, 1), "both": (0, 1), "inspection": (1, 8),
    }  # fmt: skip
    (limits,) = found["both"].missing
    assert (limits.text, limits.field) == ("The maker's range", "maker_in")
    (limits,) = parts(changed(MAKER, maker_out=None))["both"].missing
    assert limits.field == "maker_out"


@pytest.mark.parametrize("without", ["bolt_length", "upper_stand_zero", "thread_diameter", "rise"])
def test_lengths_that_were_begun_are_missing_until_they_are_ended(without: str) -> None:
    assert missing_of(answered(changed(LENGTHS, **{without: None}))) == (without,)


@pytest.mark.long
def test_every_link_leads_to_a_box_of_the_site() -> None:
    """Over drawn records: of a page that there is, and of a field that is still open and that this page waits for."""
    rng, seen = random.Random(8), 0
    for record, _ in answers(first=150):
        less = {name: entry for name, entry in record.items() if rng.random() < 0.7}
        try:
            answer = answered(less)
        except ValueError:
            continue
        found = tally(answer)
        if found is None:
            continue
        html = next(piece.html or "" for piece in pieces(answer) if piece.name == "count")
        assert html.count("<a ") == sum(len(part.missing) for part in found.parts)
        for part in found.parts:
            assert 0 <= part.done <= part.wanted
            left = part.wanted - part.done
            assert (left > 0) is bool(part.missing)
            assert part.name == "inspection" or left == len(part.missing)
            assert len({each.text for each in part.missing}) == len(part.missing)
            for each in part.missing:
                assert each.page in page_names()
                address = f"{BASE_MARK}{each.page}{'/' if each.page else ''}#field-{each.field}"
                assert f'href="{address}" data-to-field="{each.field}"' in html
                assert each.field in BY_NAME
                assert each.field not in less or each.field.endswith(("_turns", "_in"))
                seen += 1
    assert seen > 300


def test_what_is_missing_is_what_keeps_the_answer_an_example() -> None:
    """Filled in one after the other as the links lead, everything is there at last, and the answer says go."""
    record: Data = {}
    together = [boxes for readings in readings_of("flat").values() for boxes in readings]
    while (answer := answered(record)).state is State.EXAMPLE:
        box = missing_of(answer)[0]
        assert box not in record
        (boxes,) = [each for each in together if box in each]
        record |= {each: COMPLETE[each] for each in boxes}
    assert answered(record).state is State.GO
    readings = {name for name in COMPLETE if name != "version" and BY_NAME[name].role is Role.READING}
    assert set(record) == readings


def test_the_words_of_a_reading_are_few() -> None:
    for record in ({}, MAKER | {"maker_in": None}, STOP | {"lower_first_in": None}, changed(BOTH, upper_bracket=None)):
        for part in parts(changed(record, check_limbs=None)).values():
            for each in part.missing:
                assert len(each.text.split()) <= 8
                assert not re.search(r"\b(Upper|Lower)\b", each.text)  # the part says so


def test_the_boxes_are_in_the_forms() -> None:
    asked = {name for page in ("start", "inspection", "safe-range") for name in WIDGETS[page].fields()}
    assert set(missing_of(answered({}))) <= asked
