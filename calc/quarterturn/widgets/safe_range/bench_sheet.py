"""One sheet to write on at the bench: what is read, in the order of the steps, for the kind of bolt that was chosen.

Only what was entered stands in it, as it was typed; nothing of the example.
"""

from __future__ import annotations

from quarterturn.bench.family import can_be_felt
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Table
from quarterturn.widgets.safe_range.entry_tables import in_words

NAME = "bench-sheet"
Row = tuple[str, str]
"""What is written down, and its field: of both bolts, or with "*_" of each."""
BOW: tuple[Row, ...] = (
    ("Bow", "bow_name"),
    ("Looked over by", "inspected_by"),
    ("Manual’s range, turns out: from", "maker_in"),
    ("to", "maker_out"),
)
LOOSE: tuple[Row, ...] = (("String off", "check_string_off"), ("Lock loose", "check_lock"))
FELT: tuple[Row, ...] = (
    ("Height of the head at the mark", "*_height_now"),
    ("Diameter of the head", "head_diameter"),
    ("Mark to the end of the thread, turns", "*_free_from_mark"),
    ("Diameter of the thread", "thread_diameter"),
    ("Rise of the head in four turns", "rise"),
    ("Strip", "strip_thickness"),
    ("Zero to the mark, turns", "*_now_turns"),
    ("The mark is out or in", "*_now_side"),
    ("Zero to first touch, turns", "*_touch_turns"),
    ("Rim to butt end", "*_rim_to_butt"),
)
COUNTED: tuple[Row, ...] = (
    ("Maker’s zero to the mark, turns", "*_now_turns"),
    ("The mark is out or in", "*_now_side"),
)
MEASURED: tuple[Row, ...] = (
    ("String to limb", "*_tiller"),
    ("Brace height", "brace_height"),
    ("Nocking point", "nocking_point"),
    ("Draw weight", "draw_weight"),
)
TO_WRITE: tuple[str, ...] = ("Safe range, from the page", "Set to, turns out")


def bench_sheet(values: Values) -> Table:
    """The sheet for a record's kind of bolt; the frame gives it for those only that are turned."""
    counted = FELT if can_be_felt(values.choice("bolt_family")) else COUNTED
    rows = [(what, *_cells(field, values)) for what, field in (*BOW, *LOOSE, *counted, *MEASURED)]
    rows += [(what, "", "") for what in TO_WRITE]
    return Table(NAME, "One sheet for the bench", ("what", "upper", "lower"), tuple(rows))


def _cells(field: str, values: Values) -> tuple[str, str]:
    if field.startswith("*_"):
        upper, lower = (_written(field.replace("*", bolt, 1), values) for bolt in BOLTS)
        return upper, lower
    return _written(field, values), ""


def _written(name: str, values: Values) -> str:
    """What was entered, with its unit; nothing where nothing was, or where it is of another kind of bolt."""
    entry = values.record.entries.get(name)
    return "" if entry is None or not values.matters(name) else in_words(BY_NAME[name], entry)
