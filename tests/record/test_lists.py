"""Lists: rows as they were typed, what of them is used, what is said of the rest, and how a link carries them.

1 in = 0.0254 m and 1 lbf = 4.4482216152605 N exactly, 1 kgf = 9.80665 N: NIST SP 811, table B.8 (S2). What is JSON
Schema is held against `jsonschema` (draft 2020-12; C), what was packed against `zlib` and `base64` (C).
"""

from __future__ import annotations

import base64
import json
import math
import zlib
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.asking import COMPLETE, table_of
from helpers.asking import answered as safe_range
from helpers.more_fields import declare
from quarterturn.record import link
from quarterturn.record.field_types import Condition, ListField, NumberField, Role
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import MAX_NOTES, from_data, from_text
from quarterturn.record.schema import schema
from quarterturn.record.values import Values
from quarterturn.worker_interface import ask

NAME = "scale_readings"
MOST = 24
INCH, POUND, KILOGRAM = 0.0254, 4.4482216152605, 9.80665
CHECKER = jsonschema.Draft202012Validator(schema())


def parsed(rows: Any) -> Any:
    return from_data({NAME: rows, "bolt_family": "stop"})


def canonical(rows: Any) -> Any:
    """What is kept of rows; that the rest of the record was kept is looked at by the way."""
    data = parsed(rows).record.canonical()
    assert data.pop("bolt_family") == "stop"
    assert data.pop("version") == 1
    assert set(data) <= {NAME}
    return data.get(NAME)


def values(*rows: Any) -> Values:
    found = parsed(list(rows))
    assert found.notes == ()
    return Values(found.record)


def told(problems: Any) -> dict[str, str]:
    return {problem.field: problem.sentence for problem in problems}


def test_what_was_typed_is_kept_with_its_unit() -> None:
    rows = [
        {"draw": {"typed": " 28 1/4", "unit": "in"}, "weight": {"typed": "170,5", "unit": "N"}},
        {"draw": {"typed": "711.", "unit": "mm"}, "weight": {"typed": "x", "unit": "kgf"}},
    ]
    assert canonical(rows) == rows
    assert from_text(json.dumps({NAME: rows})).record.canonical()[NAME] == rows


def test_bare_numbers_are_in_the_declared_units() -> None:
    assert canonical([{"draw": 28, "weight": "38,5"}, {"weight": {"typed": "40"}, "draw": 29.5}]) == [
        {"draw": {"typed": "28", "unit": "in"}, "weight": {"typed": "38,5", "unit": "lbf"}},
        {"draw": {"typed": "29.5", "unit": "in"}, "weight": {"typed": "40", "unit": "lbf"}},
    ]


def test_complete_rows_are_numbers_in_si_in_the_order_typed() -> None:
    found = values(
        {"draw": "28", "weight": 38},
        {"draw": {"typed": "508", "unit": "mm"}, "weight": {"typed": "9,5", "unit": "kgf"}},
        {"draw": "25 1/2", "weight": {"typed": "140", "unit": "N"}},
    )
    wanted = [(28 * INCH, 38 * POUND), (0.508, 9.5 * KILOGRAM), (25.5 * INCH, 140.0)]
    rows = found.rows(NAME)
    assert [set(row) for row in rows] == [{"draw", "weight"}] * 3
    for row, (draw, weight) in zip(rows, wanted, strict=True):
        assert math.isclose(row["draw"], draw, rel_tol=1e-12)
        assert math.isclose(row["weight"], weight, rel_tol=1e-12)
    assert found.entered(NAME)
    assert (found.problems, found.unfinished(NAME)) == ((), ())


@pytest.mark.parametrize("rows", [None, [], [{}], [None, {}], [{"draw": "", "weight": " "}, {"draw": {"typed": ""}}]])
def test_empty_rows_are_dropped_and_nothing_is_said(rows: Any) -> None:
    assert canonical(rows) is None
    assert parsed(rows).notes == ()
    found = Values(parsed(rows).record)
    assert not found.entered(NAME)
    assert (found.rows(NAME), found.unfinished(NAME)) == ((), ())


def test_empty_rows_are_not_counted() -> None:
    found = values({}, {"draw": 28, "weight": 38}, {"draw": " "}, {"draw": 29, "weight": 500})
    assert [problem.field for problem in found.problems] == [f"{NAME}.2.weight"]
    assert len(canonical([{}, {"draw": 28}, {}, {"weight": 3}])) == 2


def test_a_row_that_is_not_complete_is_kept_and_not_used_and_refuses_nothing() -> None:
    found = values({"draw": 28, "weight": 38}, {"draw": "29"}, {"weight": "41"})
    assert len(found.rows(NAME)) == 1
    assert found.problems == ()
    assert told(found.unfinished(NAME)) == {
        f"{NAME}.2.weight": "Scale readings, reading 2: not used yet, because weight is empty.",
        f"{NAME}.3.draw": "Scale readings, reading 3: not used yet, because draw length is empty.",
    }
    assert canonical([{"draw": "29"}]) == [{"draw": {"typed": "29", "unit": "in"}}]
    assert not values({"draw": "29"}).entered(NAME)


def test_a_problem_names_list_row_and_column_in_its_place_and_in_its_sentence() -> None:
    found = values(
        {"draw": 28, "weight": 38},
        {"draw": "11", "weight": "38 or 39"},
        {"draw": 29, "weight": {"typed": "900", "unit": "N"}},
        {"draw": "far"},
    )
    sentences = told(found.problems)
    assert list(sentences) == [f"{NAME}.2.draw", f"{NAME}.2.weight", f"{NAME}.3.weight", f"{NAME}.4.draw"]
    assert sentences[f"{NAME}.2.draw"].startswith("Scale readings, reading 2, draw length: 11 in is too small")
    assert "12 to 36 in, because" in sentences[f"{NAME}.2.draw"]
    assert "“38 or 39” is not a number" in sentences[f"{NAME}.2.weight"]
    # 1 and 120 lbf are 4.448 and 533.79 N.
    assert "900 N is too large. Type 5 to 533 N" in sentences[f"{NAME}.3.weight"]
    assert all(sentence.endswith(".") for sentence in sentences.values())
    assert found.problems_in([NAME]) == found.problems
    assert {problem.name for problem in found.problems} == {NAME}
    assert found.problems_in(["draw_weight", f"{NAME}.2.weight"]) == ()
    # What can be used of it is told apart from what cannot.
    assert len(found.rows(NAME)) == 1


@pytest.mark.parametrize(
    ("draw", "weight"), [("12", "1"), ("36", "120"), ("304.8~mm", "120~lbf"), ("914.4~mm", "533~N")]
)
def test_limits_are_permitted(draw: str, weight: str) -> None:
    row = {}
    for name, text in (("draw", draw), ("weight", weight)):
        typed, _, unit = text.partition("~")
        row[name] = {"typed": typed, "unit": unit}
    found = values(row)
    assert found.problems == ()
    assert found.entered(NAME)


def test_more_rows_than_there_can_be_are_read_up_to_the_last() -> None:
    rows = [{"draw": 20 + place / 10, "weight": 30} for place in range(MOST)]
    assert parsed(rows).notes == ()
    for more in ([{"draw": 31}], [{}, {"draw": 31}] * 1000):
        found = parsed(rows + more)
        assert found.record.canonical()[NAME] == canonical(rows)
        (note,) = found.notes
        assert note == "Scale readings: only the first 24 were read, because there can be no more."
    assert parsed([*rows, {}, None]).notes == ()


def nested(depth: int) -> Any:
    data: Any = "x"
    for _ in range(depth):
        data = [data]
    return data


GOOD = {"draw": {"typed": "28", "unit": "in"}, "weight": {"typed": "38", "unit": "lbf"}}
BAD_LISTS = {
    "text": "28 38",
    "number": 28,
    "true": True,
    "one row without a list": GOOD,
    "an entry of another kind": {"typed": "28", "unit": "in"},
}


@pytest.mark.parametrize("given", BAD_LISTS.values(), ids=BAD_LISTS.keys())
def test_what_is_no_list_is_ignored_alone(given: Any) -> None:
    assert canonical(given) is None
    assert parsed(given).notes == ("Scale readings: ignored, because it is not a list of rows.",)


BAD_ROWS = {
    "text": ("28", "reading 2: ignored"),
    "number": (28, "reading 2: ignored"),
    "true": (True, "reading 2: ignored"),
    "a list": ([28, 38], "reading 2: ignored"),
    "deep": (nested(400), "reading 2: ignored"),
    "unknown column": ({"drawn": 28}, "reading 2: “drawn” was ignored"),
    "column with a long name": ({"x" * 10_000: 28}, "was ignored"),
    "column named by the language": ({"__class__": 28}, "“__class__” was ignored"),
    "a lone surrogate for a name": ({"\ud800": 28}, "was ignored"),
    "deep cell": ({"draw": nested(400)}, "reading 2, draw length: ignored"),
    "deep in typed": ({"draw": {"typed": nested(400)}}, "reading 2, draw length: ignored"),
    "a list in a list": ({"draw": [{"draw": 28}]}, "reading 2, draw length: ignored"),
    "true in a cell": ({"weight": True}, "reading 2, weight: ignored"),
    "unit of another kind": ({"draw": {"typed": "28", "unit": "lbf"}}, "“lbf” is not one of in, mm"),
    "unit is a number": ({"draw": {"typed": "28", "unit": 7}}, "“7” is not one of in, mm"),
    "long": ({"draw": "9" * 5_000}, "too long"),
    "huge integer": ({"draw": 10**5_000}, "too long"),
}


@pytest.mark.parametrize(("row", "words"), BAD_ROWS.values(), ids=BAD_ROWS.keys())
def test_a_bad_row_is_ignored_alone_and_named(row: Any, words: str) -> None:
    assert canonical([GOOD, row, GOOD]) == [GOOD, GOOD]
    (note,) = parsed([GOOD, row, GOOD]).notes
    assert note.startswith("Scale readings, reading 2")
    assert words in note
    assert note.endswith(".")
    assert len(note) < 400
    note.encode()


def test_the_good_part_of_a_bad_row_is_kept() -> None:
    found = parsed([{"draw": "28", "weight": [38], "arrow": 1}])
    assert found.record.canonical()[NAME] == [{"draw": {"typed": "28", "unit": "in"}}]
    assert len(found.notes) == 2


def test_many_faults_are_told_in_few_sentences() -> None:
    found = parsed([{"draw": [], "weight": [], f"c{place}": 1} for place in range(2_000)])
    assert len(found.notes) == MAX_NOTES + 1
    assert "5988 more" in found.notes[-1]


@pytest.mark.parametrize("text", ["[" * 50_000, '[{"draw":' * 2_000, "[" * 700 + "]" * 700])
def test_deep_nesting_never_ends_the_program(text: str) -> None:
    whole = f'{{"{NAME}": {text}'
    assert "too deeply" in json.loads(ask(json.dumps({"ask": "read", "text": whole})))["problems"][0]["sentence"]
    record = f'{{"ask": "answer", "widget": "start", "record": {whole}}}}}'
    assert "too deeply" in json.loads(ask(record))["broken"]


CELL = st.none() | st.text(max_size=8) | st.fixed_dictionaries({"typed": st.text(max_size=8)})
ANY_ROWS = st.lists(
    st.none() | st.integers() | st.dictionaries(st.sampled_from(["draw", "weight", "other"]), CELL | st.lists(CELL)),
    max_size=30,
)


@given(ANY_ROWS)
def test_anything_at_all_is_read_in_part_and_reads_the_same_again(rows: list[Any]) -> None:
    record = from_data({NAME: rows}).record
    data = record.canonical()
    CHECKER.validate(data)
    again = from_text(json.dumps(data))
    assert again.notes == ()
    assert again.record == record
    assert link.from_fragment(link.fragment(record)).record == record
    found = Values(record)
    for problem in (*found.problems, *found.unfinished(NAME)):
        name, number, column = problem.field.split(".")
        assert name == NAME
        assert 1 <= int(number) <= len(record.entries[NAME].rows)
        assert column in ("draw", "weight")


TYPED = st.text(alphabet="!_%;~=1235ABF,./ é", min_size=1, max_size=8).filter(lambda text: text.strip())
IN_A_UNIT = st.fixed_dictionaries({"typed": TYPED, "unit": st.just("mm")}) | st.fixed_dictionaries(
    {"typed": TYPED, "unit": st.just("in")}
)


@given(st.lists(st.fixed_dictionaries({}, optional={"draw": IN_A_UNIT, "weight": TYPED}), max_size=MOST))
def test_a_link_brings_back_any_typing_as_typed(rows: list[Any]) -> None:
    record = from_data({NAME: rows, "draw_weight": {"typed": "3!8_", "unit": "N"}}).record
    back = link.from_fragment(link.fragment(record))
    assert back.notes == ()
    assert back.record.canonical() == record.canonical()


def packed(plain: str) -> str:
    """A fragment as the format says, made here: kind, checksum, body."""
    raw = plain.encode()
    body = b"p" + zlib.crc32(raw).to_bytes(4, "big") + raw
    return "q1." + base64.urlsafe_b64encode(body).decode().rstrip("=")


def unpacked(fragment: str) -> str:
    """The text of a fragment, unpacked here."""
    body = fragment.removeprefix("q1.")
    raw = base64.urlsafe_b64decode(body + "=" * (-len(body) % 4))
    return (zlib.decompress(raw[5:], -15) if raw[:1] == b"d" else raw[5:]).decode()


def test_the_links_own_format_is_the_published_one() -> None:
    plain = "34=5,25;150=28_38!711~1_170,5~1!29!_9.5~2!2%5F_1%21"
    expected = [
        {"draw": {"typed": "28", "unit": "in"}, "weight": {"typed": "38", "unit": "lbf"}},
        {"draw": {"typed": "711", "unit": "mm"}, "weight": {"typed": "170,5", "unit": "N"}},
        {"draw": {"typed": "29", "unit": "in"}},
        {"weight": {"typed": "9.5", "unit": "kgf"}},
        {"draw": {"typed": "2_", "unit": "in"}, "weight": {"typed": "1!", "unit": "lbf"}},
    ]
    found = link.from_fragment(packed(plain))
    assert found.notes == ()
    assert found.record.canonical()[NAME] == expected
    assert unpacked(link.fragment(found.record)) == plain


OLD = "q1.cJ1w50wxPUNsdWIgYm93JTNCIDMlN0UlMjUzQjsyPTE7NzA9NCwyMzs3Mj0zLzR-MTs5ND0zOH4y"
"""Made by the version before there were lists."""


def test_a_link_from_before_there_were_lists_still_opens() -> None:
    found = link.from_fragment(OLD)
    assert found.notes == ()
    assert found.record.canonical() == {
        "version": 1,
        "bow_name": "Club bow; 3~%3B",
        "bolt_family": "stop",
        "rise": {"typed": "4,23", "unit": "mm"},
        "head_diameter": {"typed": "3/4", "unit": "in"},
        "draw_weight": {"typed": "38", "unit": "kgf"},
    }


@pytest.mark.parametrize(
    ("value", "rows", "notes"),
    [
        ("", 0, 0),
        ("!!_!__", 0, 1),  # a third column, of a later version perhaps
        ("28_38_7", 1, 1),
        ("28~9_38", 1, 1),
        ("28~x_38~-1", 0, 2),
        ("28~_38", 1, 1),
        ("!" * 9_000, 0, 0),
        ("1!" * 5_000, MOST, 1),
    ],
)
def test_a_damaged_list_in_a_link_is_read_in_part_with_a_note(value: str, rows: int, notes: int) -> None:
    found = link.from_fragment(_deflated(f"2=1;150={value}"))
    assert found.record.entries["bolt_family"].typed == "stop"
    entry = found.record.entries.get(NAME)
    assert (0 if entry is None else len(entry.rows)) == rows
    assert len(found.notes) == notes


def _deflated(plain: str) -> str:
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    body = packer.compress(plain.encode()) + packer.flush()
    raw = b"d" + zlib.crc32(plain.encode()).to_bytes(4, "big") + body
    return "q1." + base64.urlsafe_b64encode(raw).decode().rstrip("=")


def test_six_readings_add_little_to_a_link_and_a_full_list_stays_within_a_bows() -> None:
    """0017-links.md: 400 signs for a window's link and 1,200 for all of a bow, the address included."""
    six = [{"draw": 26 + place, "weight": f"{32.5 + 2.4 * place:.1f}"} for place in range(6)]
    many = [
        {
            "draw": {"typed": f"{460 + 12 * place}", "unit": "mm"},
            "weight": {"typed": f"{55 + 6.1 * place:.1f}", "unit": "N"},
        }
        for place in range(MOST)
    ]
    bare, with_six, with_many = (
        len(link.fragment(from_data(COMPLETE | more).record)) for more in ({}, {NAME: six}, {NAME: many})
    )
    assert with_six - bare <= 60
    assert with_many - bare <= 240


def test_schema_knows_rows_and_bounds_them() -> None:
    about: Any = schema()["properties"]
    field = BY_NAME[NAME]
    assert isinstance(field, ListField)
    assert about[NAME]["x-number"] == field.number
    assert about[NAME]["default"] == []
    for column in field.columns:
        assert isinstance(column, NumberField)
        one = about[NAME]["items"]["properties"][column.name]
        assert (one["minimum"], one["maximum"]) == (column.low, column.high)
        assert (one["x-unit"], one["x-number"], one["default"]) == (column.unit, column.number, column.default)
    rights: tuple[Any, ...] = ([], [{}], [GOOD], [{"draw": 28, "weight": 38}], [{"draw": 28}], [GOOD] * MOST)
    for right in rights:
        assert CHECKER.is_valid({NAME: right}), right
    for wrong in (
        GOOD,
        "28",
        None,
        [28],
        [[28, 38]],
        [GOOD | {"arrow": 1}],
        [{"draw": 11.9, "weight": 38}],
        [{"draw": "28"}],
        [{"draw": {"typed": "28", "unit": "lbf"}}],
        [{"draw": {"typed": 28}}],
        [GOOD] * (MOST + 1),
    ):
        assert not CHECKER.is_valid({NAME: wrong}), wrong


def test_the_worksheet_lists_the_rows_as_they_were_typed() -> None:
    record = COMPLETE | {NAME: [{"draw": " 28 1/4", "weight": 38}, {"draw": {"typed": "711", "unit": "mm"}}]}
    assert ("Scale readings", "28 1/4 in, 38 lb; 711 mm") in table_of(safe_range(record), "entered").rows


def test_asking_for_another_kind_is_a_fault_of_the_program() -> None:
    found = values(GOOD)
    for ask_for, name in ((found.rows, "rise"), (found.unfinished, "goal"), (found.number, NAME), (found.choice, NAME)):
        with pytest.raises(TypeError, match=name):
            ask_for(name)
    assert found.optional(NAME) is None


def column(number: int, name: str, label: str, unit: str, role: Role, most: float) -> NumberField:
    return NumberField(
        number=number,
        name=name,
        label=label,
        role=role,
        units=(unit,),
        default=2.0,
        default_from="nowhere",
        low=0.0,
        high=most,
        limits_because="these are checks",
        step=0.5,
    )


STEPS = ListField(
    number=900,
    name="steps",
    label="Steps",
    help="Made up, for these checks.",
    role=Role.READING,
    when=(Condition("goal", ("middle",)),),
    row="setting",
    columns=(
        column(1, "turns", "turns", "turn", Role.READING, 15),
        column(2, "tiller", "tiller", "mm", Role.OPTIONAL, 20),
        column(3, "brace", "brace height", "mm", Role.READING, 300),
    ),
    max_rows=2,
)
"""A list of another kind: one that a verdict waits for, under a condition, with a column that may stay empty."""


@pytest.fixture
def made_up(monkeypatch: pytest.MonkeyPatch) -> None:
    declare(monkeypatch, STEPS)


@pytest.mark.usefixtures("made_up")
def test_a_column_that_may_stay_empty_is_left_out_of_its_row() -> None:
    record = from_data(
        {"goal": "middle", "steps": [{"turns": 2, "brace": 222}, {"turns": 1, "tiller": 4, "brace": 301}]}
    )
    found = Values(record.record)
    assert found.rows("steps") == ({"turns": 2.0, "brace": 0.222},)
    assert list(told(found.problems)) == ["steps.2.brace"]
    assert found.unfinished("steps") == ()
    assert "steps" not in found.missing()
    assert link.from_fragment(link.fragment(record.record)).record == record.record


@pytest.mark.usefixtures("made_up")
def test_all_empty_boxes_of_a_row_are_named_at_once() -> None:
    found = Values(from_data({"goal": "middle", "steps": [{"tiller": 4}]}).record)
    assert told(found.unfinished("steps")) == {
        "steps.1.turns": "Steps, setting 1: not used yet, because turns and brace height are empty."
    }
    assert "steps" in found.missing()


@pytest.mark.usefixtures("made_up")
def test_a_list_that_does_not_matter_is_kept_and_not_checked() -> None:
    record = from_data({"steps": [{"turns": "x", "brace": 222}]}).record
    found = Values(record)
    assert (found.problems, found.rows("steps"), found.unfinished("steps")) == ((), (), ())
    assert not found.entered("steps")
    assert "steps" not in found.missing()
    assert "steps" in record.canonical()
