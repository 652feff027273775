"""A complete made-up record to change, and short ways to ask the package about one."""

from __future__ import annotations

from typing import Any

from quarterturn.bench.readings import Readings, take
from quarterturn.bench.window import Window, window_of
from quarterturn.figures.svg import Picture
from quarterturn.record.fields.builders import CLAMPED, TURNED
from quarterturn.record.fields.inspection_items import ITEMS
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import (
    Answer,
    Block,
    Drawing,
    Line,
    Offer,
    OfferRow,
    PartVerdict,
    Points,
    Refusal,
    Steps,
    Table,
    Tally,
    ValueList,
    Way,
)

Data = dict[str, Any]

GATE: Data = {
    "check_manual": "read",
    "check_string_off": "off",
    "check_limbs": "fine",
    "check_butt": "fine",
    "check_bolt": "fine",
    "check_match": "fine",
    "check_lock": "loose",
}

COMPLETE: Data = {
    "version": 1,
    "bolt_family": "flat",
    **GATE,
    "flush_way": "outside",
    "head_diameter": 19,
    "upper_touch_found": "yes",
    "upper_touch_turns": 5.25,
    "upper_now_side": "out",
    "upper_now_turns": 2.5,
    "upper_rim_to_butt": 2.5,
    "lower_touch_found": "yes",
    "lower_touch_turns": 5,
    "lower_now_side": "out",
    "lower_now_turns": 2,
    "lower_rim_to_butt": 2.5,
}
"""Every reading that a plain flat head needs; both bolts stand inside. Nobody's bow."""

STRUNG: Data = {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}
"""What makes the bow the reader's own, beside a complete record."""

ALL_LENGTHS: Data = {
    "string_length": 1645.8,
    "string_upper": 787.9,
    "upper_fulcrum": 315,
    "fulcrum_span": 610,
    "limb_length": 565,
    "limb_depth": 8,
    "fulcrum_arm": 60,
    "rise": 4.23,
}
"""What a tape and a caliper tell of riser, limbs, string and thread: the example's, but entered."""

MAKER: Data = {
    "version": 1,
    "bolt_family": "swivel",
    **GATE,
    "maker_in": 0,
    "maker_out": 6,
    "upper_now_side": "out",
    "upper_now_turns": 3,
    "lower_now_side": "out",
    "lower_now_turns": 3,
}
"""Every reading of a bolt to which only the maker's range applies."""


LOOKED_OVER: Data = {
    "check_manual": "read",
    "check_string_off": "off",
    "check_lock": "loose",
    **{item.name: "fine" for item in ITEMS if item.when in ((), TURNED)},
}
"""The full inspection of a bow whose bolts are for turning, nothing found."""

CLAMP: Data = {
    "bolt_family": "clamp",
    "check_string_off": "off",
    "check_limbs": "fine",
    **{item.name: "fine" for item in ITEMS if item.when == CLAMPED},
}
"""A bow whose bolts only clamp, looked over by its short list, nothing found."""

_JOINT = ("joint_bolts", "joint_seat", "joint_riser")
ALONE: dict[str, Data] = {"clamp": CLAMP}
for _family, _items in (("under", _JOINT), ("two", _JOINT), ("fixed", _JOINT[2:])):
    ALONE[_family] = {"bolt_family": _family, "check_string_off": "off", "check_limbs": "fine"}
    ALONE[_family] |= dict.fromkeys(_items, "fine")
"""Bows of which nothing is turned here, looked over by their short lists, nothing found; by hand, from issue 18."""


def changed(base: Data, /, **changes: Any) -> Data:
    """A copy with some fields set; those set to None are left out."""
    return {name: value for name, value in (base | changes).items() if value is not None}


def values(record: Data) -> Values:
    """Checked values; fails where anything of the record was ignored."""
    opened = from_data(record)
    assert opened.notes == ()
    return Values(opened.record)


def answered(record: Data, widget: str = "safe-range") -> Answer:
    """The answer of a widget."""
    return WIDGETS[widget].answer(values(record))


def refused(record: Data, widget: str = "safe-range") -> dict[str, str]:
    """The sentences of a record that is refused, by field; fails where it is answered."""
    try:
        answer = answered(record, widget)
    except Refusal as refusal:
        return {problem.field: problem.sentence for problem in refusal.problems}
    raise AssertionError(f"answered, not refused: {answer.title}")


def numbers(answer: Answer) -> dict[str, float]:
    """The named values that are numbers."""
    return {value.name: value.value for value in answer.all_values() if value.value is not None}


def texts(answer: Answer) -> dict[str, str]:
    """The named values as they are shown."""
    return {value.name: value.text for value in answer.all_values()}


def table_of(answer: Answer, name: str) -> Table:
    """The table of that name."""
    return next(block for block in answer.blocks if isinstance(block, Table) and block.name == name)


def picture_of(answer: Answer, name: str) -> Picture:
    """The picture of that name."""
    drawings = (block.picture for block in answer.blocks if isinstance(block, Drawing))
    return next(picture for picture in drawings if picture.name == name)


def points_of(answer: Answer, name: str) -> tuple[str, ...]:
    """The sentences of the list of that name; none where it is not there."""
    return next((block.points for block in answer.blocks if isinstance(block, Points) and block.name == name), ())


def lines_of(answer: Answer) -> dict[str, Line]:
    """The lines of an answer, by their names."""
    return {block.name: block for block in answer.blocks if isinstance(block, Line)}


def missing_of(answer: Answer) -> tuple[str, ...]:
    """The boxes that the count of readings leads to; none where nothing is missing."""
    tallies = [block for block in answer.blocks if isinstance(block, Tally) and block.name == "count"]
    return tuple(each.field for tally in tallies for part in tally.parts for each in part.missing)


def read(cell: str) -> float:
    """The number that a cell or a text begins with."""
    return float(cell.split()[0].rstrip("°").replace("−", "-"))


def readings(record: Data) -> Readings:
    """The readings of a record that has no problems."""
    checked = values(record)
    taken = take(checked)
    assert checked.problems == ()
    assert taken.problems == ()
    assert taken.readings is not None
    return taken.readings


def windows(record: Data) -> tuple[Window, Window]:
    """The windows of the upper and the lower bolt, without words or pictures."""
    found = readings(record)
    upper, lower = (window_of(bolt, found) for bolt in found.bolts)
    return upper, lower


def texts_of(block: Block) -> tuple[str, ...]:
    """Every word that a reader sees in a block."""
    match block:
        case Points():
            return (block.title, *block.points)
        case Steps():
            return (block.title, block.intro, *block.steps, *(each.text for each in block.how))
        case Table():
            return (block.title, block.note, *block.columns, *(cell for row in block.rows for cell in row))
        case ValueList():
            return (block.title, *(text for one in block.values for text in (one.label, one.text, one.note)))
        case Way():
            return (block.title, *(text for stage in block.stages for text in (stage.text, stage.note)))
        case Offer():
            return (block.title, block.text, block.label)
        case OfferRow():
            return (block.title, *(text for one in block.offers for text in (one.text, one.label)))
        case Drawing():
            return (block.caption, block.picture.title, block.picture.description)
        case Line():
            return (block.text,)
        case PartVerdict():
            return (block.part, block.title, block.text)
        case Tally():
            titles = (block.title, *(part.title for part in block.parts))
            return (*titles, *(each.text for part in block.parts for each in part.missing))


def all_texts(answer: Answer) -> str:
    """Every word of an answer."""
    return " ".join(
        (
            answer.headline,
            answer.line,
            answer.title,
            answer.verdict,
            *(text for block in answer.blocks for text in texts_of(block)),
        )
    )
