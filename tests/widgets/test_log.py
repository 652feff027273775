"""Settings over time: the answer's words, tables and charts, and the log as a table for other programs.

CSV is RFC 4180 and is read back by Python's `csv` in its strict mode (C); dates by `datetime` (C); numbers by `decimal`
(C). That a spreadsheet may take a cell that begins with =, +, - or @ for a formula is OWASP's list for CSV (M).
"""

from __future__ import annotations

import csv
import io
import math
import re
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from figures.reading import Drawing as Read
from figures.reading import Frame
from helpers.asking import answered, numbers, picture_of, points_of, refused, table_of, texts, values
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Answer, Drawing, Refusal, State, Status, Table, name_of
from quarterturn.widgets.log.export import csv_of, file_name, left_out
from quarterturn.widgets.log.inputs import EXAMPLE

COLUMNS = ("date", "upper_at", "lower_at", "weight", "upper_tiller", "lower_tiller", "brace_height")
POUND, INCH = Decimal("4.4482216152605"), Decimal("25.4")  # N, mm: NIST SP 811, table B.8 (S2)


def rows(*given: tuple[Any, ...]) -> list[dict[str, Any]]:
    return [{name: typed for name, typed in zip(COLUMNS, row, strict=False) if typed is not None} for row in given]


def log(*given: tuple[Any, ...], **more: Any) -> Answer:
    return answered({"log": rows(*given)} | more, "log")


THREE = (
    ("2026-03-14", 2.5, 2, 38, 179, 175, 222),
    ("2026-03-28", 2, None, 38.25, 178, 176.5, 221.5),
    ("2026-04-18", None, 1.5, 38.75, 179, 174, 220),
)


def rounded(change: float, digits: int) -> str:
    """By how much, half of the last digit up."""
    return f"{math.floor(abs(change) * 10**digits + 0.5 + 1e-9) / 10**digits:.{digits}f}"


def in_short(found: dict[str, float]) -> str:
    """What changed as the title has it, from the values: whole millimetres, and a tenth of a pound."""
    weight, tiller, brace = (found[f"{name}_change"] for name in ("weight", "tiller", "brace_height"))
    said = [("less", "more")[change > 0] for change in (weight, tiller, brace)]
    return (
        f"{rounded(weight, 1)} lb {said[0]}, tiller {rounded(tiller, 0)} mm {said[1]} and "
        f"brace height {rounded(brace, 0)} mm {said[2]}"
    )


def test_without_an_entry_it_is_a_made_up_log_and_says_so() -> None:
    answer = answered({}, "log")
    assert (answer.state, answer.badge) == (State.EXAMPLE, "Example")
    assert "This is an example until" in answer.verdict
    assert answer.title == f"{len(EXAMPLE)} entries since March 2026: {in_short(numbers(answer))}"
    assert {value.status for value in answer.all_values()} == {Status.EXAMPLE}
    unfinished = answered({"log": [{"weight": 40}]}, "log")
    assert unfinished.state is State.EXAMPLE
    assert points_of(unfinished, "told") == (
        "Log of settings and readings, entry 1: not used yet, because date is empty.",
    )


@pytest.mark.parametrize(
    "record", [{"limb_cracks": "fault"}, {"bolt_family": "unknown"}, {"bolt_family": "clamp"}, {"bolt_family": "fixed"}]
)
def test_a_made_up_log_does_not_stand_beside_what_is_said_of_ones_own_bow(record: dict[str, Any]) -> None:
    answer = answered(record, "log")
    assert answer.all_values() == ()
    assert [
        block for block in answer.blocks if isinstance(block, Drawing | Table) and name_of(block) != "happened"
    ] == []
    own = answered(record | {"log": rows(*THREE)}, "log")
    assert {name_of(block) for block in own.blocks} >= {"weight", "tiller", "first-and-last", "entries"}
    assert points_of(answered(record | {"log": [{"weight": 40}]}, "log"), "told") != ()


def test_first_and_last_of_each_and_where_the_bolts_stand() -> None:
    answer = log(*THREE)
    assert (answer.state, answer.badge) == (State.EXPLAIN, "Your log")
    assert answer.title == f"3 entries since March 2026: {in_short(numbers(answer))}"
    assert "0.8 lb more, tiller 1 mm more" in answer.title
    assert log(THREE[0], ("2026-03-28", 2, None, 38)).title == "2 entries since March 2026"  # nothing has changed
    assert answer.verdict == (
        "Draw weight 38.0 to 38.8 lb (+0.8); tiller 4.0 to 5.0 mm (+1.0); brace height 222.0 to 220.0 mm (−2.0). "
        "By the log the upper bolt is 2 turns out from zero and the lower bolt is 1½ turns out from zero."
    )
    found = numbers(answer)
    assert (found["entries"], found["upper_stands"], found["lower_stands"]) == (3, 2, 1.5)
    for name, first, last in (("weight", 38, 38.75), ("tiller", 4, 5), ("brace_height", 222, 220)):
        assert found[f"{name}_first"] == pytest.approx(first)
        assert found[f"{name}_last"] == pytest.approx(last)
        assert found[f"{name}_change"] == pytest.approx(last - first)
    assert texts(answer)["weight_change"] == "+0.8 lb"


def test_what_was_not_read_is_not_made_up() -> None:
    answer = log(("2026-03-14", None, None, 38))
    assert answer.title == "1 entry of 14 March 2026"
    assert answer.verdict == "Draw weight 38.0 lb, read once. Where the bolts are is not written."
    assert set(numbers(answer)) == {"entries", "weight_first", "weight_last", "weight_change"}
    bare = log(("2026-03-14",))
    assert bare.verdict == "No weight, tiller or brace height is in it yet. Where the bolts are is not written."
    assert points_of(bare, "told") == ("Entry 1 (2026-03-14) has only a date.",)
    for found in (answer, bare):
        assert not any(block.name in ("changes", "own-turns") for block in found.blocks if isinstance(block, Table))
    assert [block.picture.name for block in answer.blocks if isinstance(block, Drawing)] == ["weight"]
    assert not any(isinstance(block, Drawing) for block in bare.blocks)


def test_from_entry_to_entry_and_by_date() -> None:
    answer = log(THREE[2], THREE[0], THREE[1])
    assert table_of(answer, "changes").rows == (
        ("2026-03-14 to 2026-03-28", "−0.50", "0", "+0.3", "−2.5", "−0.5"),
        ("2026-03-28 to 2026-04-18", "0", "−0.50", "+0.5", "+3.5", "−1.5"),
    )
    assert table_of(answer, "entries").rows == (
        ("2026-03-14", "2.50", "2.00", "38.0", "4.0", "222.0"),
        ("2026-03-28", "2.00", "(2.00)", "38.3", "1.5", "221.5"),
        ("2026-04-18", "(2.00)", "1.50", "38.8", "5.0", "220.0"),
    )
    assert points_of(answer, "told") == (
        "Entries 2 (2026-03-14) and 3 (2026-03-28) are under an entry of a later date. All that is shown here is in "
        "the order of the dates. If a date is wrong, correct it.",
    )
    assert points_of(log(*THREE), "told") == ()
    assert log(THREE[2], THREE[0], THREE[1]).verdict == log(*THREE).verdict


def test_what_a_turn_did_with_what_the_readings_leave_open() -> None:
    """0.25 lb and −2.5 mm for half a turn in; U = 2·√2·0.5/√3 lb and 2·√4·1/√3 mm, for half a turn twice that."""
    first, second = table_of(log(*THREE), "own-turns").rows
    assert first == ("2026-03-14 to 2026-03-28", "upper bolt in 0.50", "+0.50 ±\u00a01.63", "−5.00 ±\u00a04.62")
    assert second == ("2026-03-28 to 2026-04-18", "lower bolt in 0.50", "+1.00 ±\u00a01.63", "+7.00 ±\u00a04.62")
    (finer, _) = table_of(log(*THREE, scale_step=0.1, tape_step=0.5), "own-turns").rows
    assert finer[2:] == ("+0.50 ±\u00a00.33", "−5.00 ±\u00a02.31")


def test_units_are_the_readers() -> None:
    kilograms = [(*row[:3], {"typed": str(row[3] / 2.2), "unit": "kgf"}, *row[4:]) for row in THREE]
    answer = log(*kilograms, length_unit="in")
    assert texts(answer)["weight_first"] == "17.27 kgf"
    assert texts(answer)["brace_height_first"] == "8.740 in"
    assert table_of(answer, "changes").columns[3:] == ("draw weight, kgf", "tiller, in", "brace height, in")
    # Without a weight in the log as it is weighed elsewhere.
    other = log(("2026-03-14", 2), draw_weight={"typed": "170", "unit": "N"})
    assert table_of(other, "entries").columns[3] == "draw weight, N"


def test_a_jump_is_asked_about_with_both_entries_named() -> None:
    answer = log(THREE[0], ("2026-03-28", 2, None, 83), ("2026-04-18", None, None, 38.5))
    assert points_of(answer, "jumps") == (
        "Entry 2 (2026-03-28): draw weight changed by +45.0 lb since entry 1 (2026-03-14). The next one is as before, "
        "so this one is most likely a slip. Turns of the bolts do not explain it. Look for a slip of the pen or "
        "another unit, and measure again. Were the draw length and the limbs the same?",
    )
    assert answer.verdict.endswith("One number changed by more than is plausible: see below.")
    exchanged = log(THREE[0], ("2026-03-28", 2, None, 38, 195, 195), ("2026-04-18", 8))
    assert [sentence.split(":")[0] for sentence in points_of(exchanged, "jumps")] == [
        *["Entry 2 (2026-03-28)"] * 2,
        "Entry 3 (2026-04-18)",
    ]
    assert "3 numbers changed" in exchanged.verdict
    assert "Count again from zero" in points_of(exchanged, "jumps")[-1]
    assert points_of(log(*THREE), "jumps") == ()


def test_what_cannot_be_used_is_refused_by_row_and_column() -> None:
    sentences = refused({"log": [{"date": "2026-02-30", "weight": "x"}, {"date": "31 June"}], "tape_step": "?"}, "log")
    assert list(sentences) == ["tape_step", "log.1.date", "log.1.weight", "log.2.date"]
    assert sentences["log.2.date"] == (
        "Log of settings and readings, entry 2, date: “31 June” is not a day: write year, month and day as 2026-06-30."
    )


@pytest.mark.parametrize("stop", [{"limb_cracks": "fault"}, {"limb_cracks": "unsure"}])
def test_below_a_stop_the_log_stands_as_it_is(stop: dict[str, Any]) -> None:
    plain, halted = log(*THREE), log(*THREE, **stop)
    assert halted.state is (State.ASK if "unsure" in stop.values() else State.STOP)
    assert plain.title not in halted.title
    assert "By the log the bolts stand" not in halted.verdict
    assert numbers(plain) == numbers(halted)
    assert table_of(plain, "changes") == table_of(halted, "changes")
    bad = answered({"log": [{"date": "31 June"}]} | stop, "log")
    assert bad.state is halted.state
    assert "31 June" in bad.verdict
    assert bad.all_values() == ()


HAPPENED = {"date": "2026-04-20", "happened": "click"}


def test_what_happened_is_shown_and_stops_everything_until_it_is_settled() -> None:
    still = log(*THREE, events=[HAPPENED])
    assert (still.state, still.title.startswith("Stop: ")) == (State.STOP, True)
    ((day, what, found, on),) = table_of(still, "happened").rows
    assert (day, found, on) == ("2026-04-20", "(open)", "no day")
    assert what.lower() in still.title.lower()
    assert table_of(still, "entries") == table_of(log(*THREE), "entries")
    settled = log(*THREE, events=[HAPPENED | {"found": "nothing", "found_on": "2026-04-21"}])
    assert settled.state is State.EXPLAIN
    assert table_of(settled, "happened").rows[0][3] == "2026-04-21"


# The charts


def drawn(answer: Answer, name: str) -> tuple[Read, Frame]:
    drawing = Read(picture_of(answer, name))
    return drawing, Frame(drawing, f"log-{name}-plot")


def test_charts_show_every_reading_at_its_date_one_under_the_other() -> None:
    answer = log(*THREE)
    first = date(2026, 3, 14)
    across = set()
    for name, read in (("weight", (38, 38.25, 38.75)), ("tiller", (4, 1.5, 5))):
        drawing, frame = drawn(answer, name)
        signs = [
            (float(one.attrib["data-x"]), float(one.attrib["data-y"]))
            for one in drawing.elements
            if "data-x" in one.attrib
        ]
        got = sorted(frame.mm(*sign) for sign in signs)
        days = [(date.fromisoformat(row[0]) - first).days for row in THREE]
        for (x, y), wanted_day, wanted in zip(got, days, read, strict=True):
            assert x == pytest.approx(wanted_day, abs=0.05)
            assert y == pytest.approx(wanted, abs=0.05)
        across.add((frame.scale()[0], drawing.numbers(f"log-{name}-plot", "data-origin-x")))
    assert len(across) == 1, "the same date stands at the same place in both"


def test_the_dates_at_the_axis_are_dates_at_their_places() -> None:
    drawing, frame = drawn(log(*THREE), "weight")
    ticks = [one for one in drawing.elements if "qt-tick-x" in one.attrib.get("class", "").split()]
    assert len(ticks) >= 2
    for one in ticks:
        there = date(2026, 3, 14) + timedelta(days=round(frame.mm(float(one.attrib["x"]), 0)[0]))
        assert one.text == there.isoformat()


def test_a_reading_after_a_turn_has_a_sign_of_its_own() -> None:
    answer = log(*THREE, ("2026-05-01", None, None, 38.5))
    description = picture_of(answer, "weight").description
    before, after = re.findall(r"(?:before|of a bolt): ([^.]*(?:\.\d[^.]*)*)\.", description)
    assert re.findall(r"at (\S{10})", before) == ["2026-03-14", "2026-05-01"]
    assert re.findall(r"at (\S{10})", after) == ["2026-03-28", "2026-04-18"]
    # U = 2u of an even spread: 2·0.5/√3 lb, and 2·√2·1/√3 mm for a tiller.
    assert "give or take 0.6 lb" in after
    assert "give or take 1.6 mm" in picture_of(answer, "tiller").description
    assert "give or take 0.3 lb" in picture_of(log(*THREE, scale_step=0.25), "weight").description


@pytest.mark.parametrize(
    ("first", "last"),
    [
        ("2026-03-14", "2026-03-14"), ("2026-03-14", "2026-03-15"), ("2000-01-01", "2100-12-31"),
        ("2026-01-01", "2027-01-01"),
    ],
)  # fmt: skip
def test_any_stretch_of_time_has_an_axis(first: str, last: str) -> None:
    answer = log((first, 2, 2, 38, 179, 175), (last, 2, 2, 38, 179, 175))
    for name in ("weight", "tiller"):
        drawing, _ = drawn(answer, name)
        ticks = [one.text or "" for one in drawing.elements if "qt-tick-x" in one.attrib.get("class", "").split()]
        assert ticks
        assert [date.fromisoformat(tick) for tick in ticks] == sorted(set(map(date.fromisoformat, ticks)))


# As a table for other programs


HEADS = [
    "date", "upper bolt (turns out from zero)", "lower bolt (turns out from zero)", "draw weight (lb)",
    "upper string to limb (mm)", "lower string to limb (mm)", "tiller (mm)", "brace height (mm)",
]  # fmt: skip


def read_back(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


def test_the_table_is_csv_with_names_and_units_first() -> None:
    text = csv_of(values({"log": rows(THREE[1], THREE[0])}))
    assert read_back(text) == [
        HEADS,
        ["2026-03-14", "2.5", "2", "38", "179", "175", "4", "222"],
        ["2026-03-28", "2", "", "38.25", "178", "176.5", "1.5", "221.5"],
    ]
    assert text.endswith("221.5\r\n")
    assert re.sub("\r\n", "", text).count("\n") == re.sub("\r\n", "", text).count("\r") == 0
    text.encode("ascii")


def test_the_table_has_one_unit_a_column_whatever_was_typed() -> None:
    mixed = [
        {
            "date": "2026-03-14",
            "weight": {"typed": "17", "unit": "kgf"},
            "brace_height": {"typed": "8 3/4", "unit": "in"},
        },
        {"date": "2026-03-15", "weight": {"typed": "38,5", "unit": "lbf"}, "brace_height": "222,5", "lower_at": "-1/4"},
    ]
    heads, one, two = read_back(csv_of(values({"log": mixed, "length_unit": "in"})))
    assert (heads[3], heads[7]) == ("draw weight (kgf)", "brace height (in)")
    assert (one[3], one[7]) == ("17", "8.75")
    kilograms = Decimal("38.5") * POUND / Decimal("9.80665")
    assert abs(Decimal(two[3]) - kilograms) <= Decimal("0.00005")
    assert abs(Decimal(two[7]) - Decimal("222.5") / INCH) <= Decimal("0.00005")
    assert two[2] == "-0.25"


def test_rows_that_are_not_used_are_left_out_and_said() -> None:
    record = values({"log": [{"weight": 38}, {"date": "2026-03-14"}]})
    assert read_back(csv_of(record)) == [HEADS, ["2026-03-14", *[""] * 7]]
    assert left_out(record) == ("Log of settings and readings, entry 1: not used yet, because date is empty.",)


@pytest.mark.parametrize(
    ("record", "sentence"),
    [
        ({}, "There is no entry with a date yet, so there is nothing to save."),
        ({"log": [{"weight": 38}]}, "There is no entry with a date yet, so there is nothing to save."),
        ({"log": [{"date": "2026-02-30"}]}, "“2026-02-30” is not a day"),
    ],
)
def test_without_an_entry_that_can_be_used_there_is_no_table(record: dict[str, Any], sentence: str) -> None:
    with pytest.raises(Refusal, match=re.escape(sentence)):
        csv_of(values(record))


NUMBER = re.compile(r"-?\d+(\.\d{1,4})?")
ANY_DATE = st.dates(date(2000, 1, 1), date(2100, 12, 31)).map(date.isoformat)
PART = st.none() | st.floats(0, 1)
BOUNDS = ((-5, 15), (-5, 15), (5, 120), (80, 320), (80, 320), (120, 320))


@given(
    st.lists(st.tuples(ANY_DATE, st.tuples(*[PART] * 6)), min_size=1, max_size=8),
    st.text(max_size=60),
    st.sampled_from(["mm", "in"]),
)
def test_any_log_is_read_back_and_holds_no_formula(
    drawn: list[tuple[str, tuple[float | None, ...]]], name: str, unit: str
) -> None:
    typed = rows(
        *(
            (when, *(None if part is None else low + part * (high - low) for part, (low, high) in
                     zip(parts, BOUNDS, strict=True)))
            for when, parts in drawn
        )
    )  # fmt: skip
    record = values({"log": typed, "bow_name": name, "length_unit": unit})
    heads, *lines = read_back(csv_of(record))
    assert len(lines) == len(drawn)
    assert [line[0] for line in lines] == sorted(when for when, _ in drawn)
    for head in heads:
        assert head[0].isalpha()
    for line in lines:
        assert len(line) == len(heads)
        for cell in line[1:]:
            assert cell == "" or NUMBER.fullmatch(cell), "a number, not a formula"
            assert cell != "-0"
    sorted_typed = [row for _, row in sorted(enumerate(typed), key=lambda each: (each[1]["date"], each[0]))]
    for line, row in zip(lines, sorted_typed, strict=True):
        for column, size in ((1, 1), (3, 1), (7, 1 if unit == "mm" else 25.4)):
            got, wanted = line[column], row.get(COLUMNS[column if column < 6 else 6])
            assert (got == "") is (wanted is None)
            if wanted is not None:
                assert float(got) == pytest.approx(wanted / size, abs=0.00005 + 1e-9)


@pytest.mark.parametrize(
    ("name", "file"),
    [
        (None, "log.csv"),
        ("Club bow 3", "log-Club-bow-3.csv"),
        ("=cmd|'/c calc'!A1", "log-cmd-c-calc-A1.csv"),
        ("../../etc/passwd", "log-etc-passwd.csv"),
        ("лук ½ <b>&", "log-лук-½-b.csv"),
        ("\u202egpj.exe", "log-gpj-exe.csv"),
        ("...", "log.csv"),
        ("x" * 60, f"log-{'x' * 40}.csv"),
    ],
)
def test_the_files_name_holds_letters_and_digits_of_the_bows(name: str | None, file: str) -> None:
    assert file_name(values({} if name is None else {"bow_name": name})) == file


@given(st.text(max_size=60))
def test_any_name_gives_a_files_name_without_signs(name: str) -> None:
    assert re.fullmatch(r"log(-[^\W_]+)*\.csv", file_name(values({"bow_name": name})))


def test_a_log_stays_within_what_a_record_may_hold() -> None:
    """Sixty full rows: well under what is read as JSON, and a table of some 4,000 signs."""
    field: Any = BY_NAME["log"]
    full = rows(*(((date(2026, 1, 1) + timedelta(days=at)).isoformat(), *THREE[0][1:]) for at in range(field.max_rows)))
    record = values({"log": full})
    assert len(read_back(csv_of(record))) == field.max_rows + 1
    assert len(csv_of(record)) < 5_000
