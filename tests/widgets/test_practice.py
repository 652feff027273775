"""The practice bench as a reader works it: only by what its answers offer and its boxes take."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import pytest

from helpers.asking import COMPLETE, STRUNG, Data, answered, lines_of, picture_of, points_of, read, table_of
from helpers.codes import drawn
from helpers.codes import read as read_codes
from quarterturn.bench.practice import EIGHTH, LEVELS, made_up_bolt
from quarterturn.bench.practice_bow import made_up_bow
from quarterturn.bench.practice_task import check_digits
from quarterturn.record.entries import Entry
from quarterturn.record.fields import BY_NAME
from quarterturn.record.link import from_fragment
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Offer, Refusal, State, Way, name_of
from quarterturn.widgets.lesson_content import LESSONS as CONTENT
from quarterturn.widgets.practice import task_lessons
from quarterturn.widgets.practice.form import CLASS, OF_THIS_BOLT, TASK
from quarterturn.widgets.practice.wording import counted, eighths

SECRETS = ("inside", "truth-scale", "losses", "lessons", "outcome")


@dataclass
class Reader:
    """A record, and the hand that fills it by the answer's buttons and boxes."""

    record: Data = field(default_factory=lambda: {"version": 1})
    presses: int = 0

    def answer(self) -> Answer:
        """The answer; what the page keeps of it is kept."""
        answer = answered(self.record, "practice")
        self._enter(dict(answer.keeps))
        return answer

    def _enter(self, entries: dict[str, Entry | None]) -> None:
        for name, entry in entries.items():
            self.record.pop(name, None)
            if entry is not None:
                self.record[name] = float(entry.typed) if entry.unit in ("turn", "count") else entry.typed

    def offers(self) -> dict[str, Offer]:
        return {offer.name: offer for offer in self.answer().offers}

    def press(self, name: str) -> None:
        self.presses += 1
        self._enter(dict(self.offers()[name].entries))

    def choose(self, **entries: Any) -> None:
        self.record |= {f"practice_{name}": value for name, value in entries.items()}

    def feel(self) -> str:
        return lines_of(self.answer())["feel"].text

    def turn_until(self, offer: str, *words: str) -> None:
        for _ in range(200):
            if any(word in self.feel() for word in words):
                return
            self.press(offer)
        raise AssertionError(f"never {words}")

    def find_both(self) -> None:
        """As the worksheet says it: zero at the rim from outside, first touch at the butt end, both coming in."""
        if self.record.get("practice_level") in (None, "sight"):
            self.turn_until("key-in", "flat on each other")
            self.press("call-zero")
            self.turn_until("key-out", "do not touch")
            self.turn_until("key-in", "butt end touches")
            self.press("call-touch")
            return
        self.choose(tip="eased", prong="both", offered="rim")
        self.turn_until("key-out", "goes")
        self.turn_until("key-in", "does not go in", "hard stop")
        self.press("call-zero")
        self.choose(offered="butt")
        self.turn_until("key-out", "goes")
        self.turn_until("key-in", "does not go in")
        self.press("call-touch")

    def count_and_answer(self) -> None:
        """Counts as the key went, and the range that keeps a quarter turn at each end, in quarters inward."""
        zero, touch = self.record["practice_zero"], self.record["practice_touch"]
        to_mark, to_touch = round(-zero * 8) / 8, round((touch - zero) * 8) / 8
        self.choose(now_turns=abs(to_mark), now_side="out" if to_mark >= 0 else "in", touch_turns=to_touch)
        if to_mark < 0:
            self.choose(stands="inner")
        elif to_mark > to_touch:
            self.choose(stands="outer")
        else:
            self.choose(stands="inside", inner=0.25, outer=math.floor(4 * (to_touch - 0.4)) / 4)


def at(level: str, number: int) -> Reader:
    return Reader({"version": 1, "practice_level": level, "practice_bolt": number})


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("number", [1, 2, 3, 77])
def test_a_careful_reader_comes_out_right(level: str, number: int) -> None:
    """The whole way, by buttons alone; what is lost then is paper's and the step's, and adds up."""
    reader = at(level, number)
    assert "show" not in reader.offers()
    reader.find_both()
    assert "show" not in reader.offers()
    reader.count_and_answer()
    assert not {name_of(part) for part in reader.answer().parts} & set(SECRETS)
    reader.press("show")
    answer = reader.answer()
    bolt = made_up_bolt(number, level)
    if bolt.stands == "inside":
        assert answer.title == f"Bolt {number}: your range lies well inside both ends"
    else:
        assert answer.title.startswith(f"Bolt {number}: right, it was past")
        assert "bow technician" in answer.verdict
    rows = table_of(answer, "losses").rows
    assert {row[0] for row in rows} <= {
        *("zero, in all", "first touch, in all", "the strip's thickness", "where you stopped turning"),
    }
    assert {name_of(part) for part in answer.parts} >= set(SECRETS)
    assert picture_of(answer, "inside").title == "The pocket, as it was found"


def signed(cell: str) -> float:
    return -read(cell) if cell.endswith("in") else read(cell)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_each_fault_is_named_and_the_parts_make_the_whole(number: int) -> None:
    """A reading on one prong, come to by turning out, and another count: each has its row, and they add up."""
    bolt = made_up_bolt(number, "found")
    reader = at("found", number)
    reader.choose(tip="eased", prong="far" if bolt.prong > 0 else "near", offered="rim")
    reader.turn_until("key-out", "goes")
    reader.press("call-zero")
    reader.choose(offered="butt", touch_turns=1, now_turns=1, stands="outer")
    reader.press("key-out-whole")
    reader.press("call-touch")
    reader.press("show")
    rows = table_of(reader.answer(), "losses").rows
    causes = [row[0] for row in rows]
    assert {"one prong only", "play of the thread", "the strip's thickness", "where you stopped turning"} <= set(causes)
    assert {"your mark: the count", "first touch: the count"} & set(causes)
    first, second = causes.index("zero, in all"), causes.index("first touch, in all")
    for start, end in ((first, second), (second, len(rows))):
        parts = [signed(row[1]) for row in rows[start + 1 : end] if "count" not in row[0]]
        assert math.fsum(parts) == pytest.approx(signed(rows[start][1]), abs=0.006 * len(parts))
    why = {row[0]: row[2] for row in rows}
    assert why["play of the thread"].endswith("Come to each reading by turning in.")
    assert why["one prong only"].endswith("The first that stops the strip counts.")


def test_a_tip_that_was_let_go_is_told() -> None:
    reader = at("paper", 1)
    reader.choose(tip="free", prong="both", offered="rim")
    reader.turn_until("key-out", "goes")
    reader.turn_until("key-in", "does not go in")
    reader.press("call-zero")
    reader.choose(now_turns=2, touch_turns=4, stands="inside", inner=0.25, outer=3.5)
    reader.press("show")
    answer = reader.answer()
    (row,) = [row for row in table_of(answer, "losses").rows if row[0] == "the tip not eased"]
    assert signed(row[1]) < -0.3
    assert "past flush" in answer.title or "past an end" in answer.title or "too near" in answer.title
    assert any("past flush" in point for point in points_of(answer, "lessons"))


@pytest.mark.parametrize(
    ("inner", "outer", "title"),
    [
        (0.25, 3.5, "your range lies well inside both ends"),
        (-0.3, 3.5, "your range comes too near an end"),
        (-2, 3.5, "your range goes past an end"),
        (0.25, 4.2, "your range comes too near an end"),
        (0.25, 6, "your range goes past an end"),
    ],
)
def test_a_range_is_judged_at_both_ends(inner: float, outer: float, title: str) -> None:
    reader = at("paper", 1)
    reader.find_both()
    reader.choose(now_turns=2, touch_turns=4, stands="inside", inner=inner, outer=outer)
    reader.press("show")
    assert reader.answer().title == f"Bolt 1: {title}"


def test_a_bolt_past_its_end_is_no_place_for_a_range() -> None:
    """Whoever says that it was inside is told, whatever range was chosen."""
    reader = at("found", 1)
    reader.find_both()
    reader.choose(now_turns=1, touch_turns=5, stands="inside", inner=0.25, outer=4)
    reader.press("show")
    answer = reader.answer()
    assert answer.title == "Bolt 1: you say inside its range, it was past flush"
    assert "leave the string off" in answer.verdict


def test_the_count_is_kept_at_the_easy_levels_only() -> None:
    for level in LEVELS:
        reader = at(level, 1)
        reader.press("key-out-whole")
        reader.press("key-in")
        said = lines_of(reader.answer())["count"].text
        if level in ("sight", "paper"):
            assert said == "Your count: ⅞ turn out from where you found it."
        else:
            assert not re.search(r"\d|⅛|⅞", said)


def test_what_is_not_yet_shown_is_nowhere_told() -> None:
    """No number of the truth, nor the words of a state of contact, before the pocket is opened."""
    for number in range(1, 12):
        bolt = made_up_bolt(number, "paper")
        data = str(answered({"practice_level": "paper", "practice_bolt": number}, "practice").as_data())
        assert f"{bolt.touch:.2f}" not in data.replace("touch", "")
        assert "flush" not in data.split("svg")[0].lower().replace("how the pocket works", "")
        assert "The butt end touches the head" not in data


def test_a_stop_is_felt_and_goes_no_farther() -> None:
    reader = at("play", 3)
    reader.choose(tip="eased", prong="both")
    reader.turn_until("key-in-whole", "hard stop")
    before = reader.record["practice_turned"]
    reader.press("key-in")
    assert reader.record["practice_turned"] == before
    assert reader.feel() == "The bolt comes to a hard stop. Do not force it."
    reader.press("key-out")
    assert reader.record["practice_turned"] == pytest.approx(before + EIGHTH)


def test_another_bolt_forgets_this_one_and_keeps_the_level() -> None:
    reader = at("paper", 99_999)
    assert "another" not in reader.offers()
    reader.press("key-out")
    reader.press("call-zero")
    reader.press("another")
    assert reader.record == {"version": 1, "practice_level": "paper", "practice_bolt": 1}
    assert set(OF_THIS_BOLT) | {"practice_level", "practice_bolt", *TASK, *CLASS} == set(WIDGETS["practice"].fields())


@pytest.mark.long
def test_nothing_of_the_bow_changes_it_and_it_changes_no_other_page() -> None:
    reader = at("paper", 5)
    reader.find_both()
    alone = reader.answer()
    assert answered(COMPLETE | STRUNG | reader.record, "practice").parts[0] == alone.parts[0]
    for name in WIDGETS:
        if name != "practice":
            both, own = (answered(COMPLETE | STRUNG | more, name).as_data() for more in (reader.record, {}))
            assert both == own


@pytest.mark.parametrize(
    ("entries", "name", "part"),
    [
        ({"practice_bolt": 1.5}, "practice_bolt", "a whole number, 1 to 99999"),
        ({"practice_bolt": 0}, "practice_bolt", "1 to 99999"),
        ({"practice_inner": 3, "practice_outer": 2}, "practice_outer", "farther out than where it begins"),
        ({"practice_turned": 21}, "practice_turned", "-20 to 20"),
        ({"practice_now_turns": "two"}, "practice_now_turns", ""),
        ({"practice_lessons": "1, 9"}, "practice_lessons", "type numbers from 1 to 8 with commas between"),
    ],
)
def test_bad_input_is_a_sentence(entries: Data, name: str, part: str) -> None:
    with pytest.raises(Refusal) as refused:
        answered(entries, "practice")
    (problem,) = refused.value.problems
    assert problem.name == name
    assert part.replace("-", "−") in problem.sentence.replace("-", "−")
    assert problem.sentence.startswith(BY_NAME[name].label)


def test_turns_are_said_in_eighths() -> None:
    assert [eighths(turns) for turns in (0, 0.125, -1.5, 2.0, 0.06, 0.07)] == ["0", "⅛", "1½", "2", "0", "⅛"]
    assert [counted(turns) for turns in (0.01, 1, -1.125, 0.5)] == [
        "no turn",
        "1 turn out",
        "1⅛ turns in",
        "½ turn out",
    ]


def test_it_gives_no_verdict_on_a_bow() -> None:
    for level in LEVELS:
        assert answered({"practice_level": level}, "practice").state is State.EXPLAIN


# In a class


def finished(task: int, student: int, level: str = "paper") -> tuple[Reader, str]:
    """A careful student's bench, and the code that it shows."""
    reader = Reader({"version": 1, "practice_level": level, "practice_task": task, "practice_student": student})
    reader.find_both()
    reader.count_and_answer()
    reader.press("show")
    said = lines_of(reader.answer())["code"].text
    found = re.fullmatch(r"Code for your instructor: ([\d ]+)\.", said)
    assert found
    return reader, found[1]


def test_two_students_and_their_instructor() -> None:
    """Neighbours have other bolts; each code says of whom it is and what came of it; the key is the bolts' own."""
    (one, first), (other, second) = finished(4711, 1), finished(4711, 2)
    assert one.answer().title == "Bolt 95294: your range lies well inside both ends"
    assert other.answer().title == "Bolt 3798: your range lies well inside both ends"
    assert first != second
    assert "another" not in one.offers()
    for code, number, bolt in ((first, 1, 95294), (second, 2, 3798)):
        line = lines_of(answered({"practice_code": code}, "practice"))["tell-code"]
        assert line.mark == "go"
        assert line.text == (
            f"Task 4711, number {number}, with paper, bolt {bolt}: rightly said where it was; "
            "from: well inside, to: well inside."
        )
    instructor = {"practice_level": "paper", "practice_task": 4711, "practice_class": 2, "practice_key": "yes"}
    rows = table_of(answered(instructor, "practice"), "answer-key").rows
    for row, number in zip(rows, (95294, 3798), strict=True):
        made = made_up_bolt(number, "paper")
        assert row[1:] == (str(number), "inside its range", f"{made.found:.2f}", f"{made.touch:.2f}")


def test_a_code_of_what_went_wrong_says_so() -> None:
    reader, _ = finished(4711, 5, "found")
    reader.choose(stands="inside", inner=-1, outer=9)
    said = lines_of(reader.answer())["code"].text.removeprefix("Code for your instructor: ").rstrip(".")
    line = lines_of(answered({"practice_code": said}, "practice"))["tell-code"]
    assert line.mark == "ask"
    assert "wrongly said where it was; from: " in line.text
    assert line.text.endswith("to: past the end.")


def test_a_code_that_is_none_is_told_and_kept() -> None:
    line = lines_of(answered({"practice_code": "2 04711 017"}, "practice"))["tell-code"]
    assert (line.mark, line.text) == ("stop", "A code has 14 digits, or 19 with lessons, and this has 9.")
    assert lines_of(answered({}, "practice"))["tell-code"].text == ""


def test_a_task_waits_for_the_number_in_the_class() -> None:
    assert (
        lines_of(answered({"practice_task": 12}, "practice"))["task"].text == "Task 12: enter your number in the class."
    )
    both = lines_of(answered({"practice_task": 12, "practice_student": 3}, "practice"))["task"].text
    assert re.fullmatch(r"Task 12, number 3: your bolt is \d+, pocket open\.", both)


def test_the_link_of_a_task_is_what_its_code_opens() -> None:
    """Read back by another library (helpers/codes.py)."""
    record = from_data({"practice_task": 4711, "practice_level": "found"}).record
    answer = WIDGETS["practice"].answer(Values(record, "https://club.example/bows/"))
    address = "https://club.example/bows/practice/?task=4711&level=found"
    assert lines_of(answer)["task-address"].text == f"Link to this task: {address}"
    assert read_codes(drawn(picture_of(answer, "task-code").svg, 42, 42)) == [address]
    assert "task-address" not in lines_of(answered({"practice_task": 4711}, "practice"))


LESSONS = {"practice_task": 4711, "practice_lessons": "1, 3, 8"}


def way_of(record: Data) -> dict[str, tuple[str, str]]:
    """Of each lesson of a task its mark and what is said of it."""
    (way,) = [
        part for part in answered(record, "practice").parts if isinstance(part, Way) and part.name == "task-lessons"
    ]
    return {stage.text: (stage.mark, stage.note) for stage in way.stages}


def test_the_lessons_of_a_task_are_listed_and_marked_as_they_get_done() -> None:
    names = ["Lesson 1: What a bolt moves", "Lesson 3: What a strip can see", "Lesson 8: When to stop and ask"]
    assert way_of(LESSONS) == dict(zip(names, [("next", ""), ("open", ""), ("open", "")], strict=True))
    begun = LESSONS | {"lesson_moves": "heavier", "lesson_paper": "at", "lesson_stop": "on"}
    assert way_of(begun) == {
        names[0]: ("next", "You said “gets heavier”: right. The number is still to be read."),
        names[1]: ("open", "You said “at flush”: not right. The number is still to be read."),
        names[2]: ("done", "You said “do the next step”: not right."),
    }
    read = begun | {"lesson_moves_number": 1.13, "lesson_paper_number": 0.42}
    assert way_of(read)[names[0]] == (
        "next",
        "You said “gets heavier”: right. You read 1.13 mm: not yet right.",
    )
    assert way_of(read)[names[1]][1] == "You said “at flush”: not right. You read 0.42 turn: right."
    assert way_of(LESSONS | {"lesson_moves_number": 1.06})[names[0]] == ("next", "")
    # What the lessons' own page calls right is right here.
    for number in (1.06, 1.13, 4.23):
        here = way_of(begun | {"lesson_moves_number": number})[names[0]][0]
        there = lines_of(answered(begun | {"lesson_moves_number": number}, "lessons"))["tell-moves"].mark
        assert (here == "done") == (there == "go")


def test_in_a_task_the_first_prediction_counts() -> None:
    read_off = LESSONS | {"lesson_moves": "heavier", "lesson_moves_number": 1.06}
    for first, said in (("heavier", "right"), ("lighter", "not right")):
        note = way_of(read_off | {"lesson_first": f"moves={first}"})["Lesson 1: What a bolt moves"][1]
        assert note == f"You said “gets {first}”: {said}. You read 1.06 mm: right."


def test_without_a_task_there_are_no_lessons_of_one() -> None:
    for record in ({"practice_lessons": "1, 3"}, {"practice_task": 4711}):
        assert "task-lessons" not in {name_of(part) for part in answered(record, "practice").parts}


def test_the_code_of_a_task_with_lessons_tells_how_each_stands() -> None:
    reader, short = finished(4711, 5)
    # Of the student's own made-up bow: a own rise, and not the example's of 4.23 mm.
    reader.record |= LESSONS | {"lesson_moves": "heavier", "lesson_moves_number": RISE_OF_5, "lesson_paper": "at"}
    said = lines_of(reader.answer())["code"].text
    assert said.endswith(". It changes as you finish the lessons.")
    code = said.removeprefix("Code for your instructor: ").partition(".")[0]
    assert code.startswith(short[:-3])
    line = lines_of(answered({"practice_code": code}, "practice"))["tell-code"]
    assert line.mark == "ask"
    assert line.text.endswith(
        "to: well inside. Lesson 1: finished, prediction right. Lesson 3: not finished. Lesson 8: not finished."
    )
    paper = {one.name: one.value for one in answered(bow_of(4711, 5), "pocket").all_values()}["flush_outside"]
    reader.record |= {"lesson_paper_number": paper, "lesson_stop": "stop"}
    code = lines_of(reader.answer())["code"].text.removeprefix("Code for your instructor: ").rstrip(".")
    line = lines_of(answered({"practice_code": code}, "practice"))["tell-code"]
    assert line.mark == "go"
    assert "Lesson 3: finished, prediction not right. Lesson 8: finished, prediction right." in line.text


def test_of_a_bow_that_must_not_be_strung_no_lesson_of_a_task_is_done() -> None:
    done = LESSONS | {"lesson_moves": "heavier", "lesson_moves_number": 1.06, "lesson_stop": "stop"}
    assert way_of(done)["Lesson 1: What a bolt moves"][0] == "done"
    assert {mark for mark, _ in way_of(COMPLETE | done | {"limb_cracks": "fault"}).values()} == {"next", "open"}


ALL_LESSONS = LESSONS | {"practice_lessons": "1, 2, 3, 4, 5, 6, 7, 8"}


def bow_of(task: int, student: int) -> Data:
    """A student's made-up bow, as the record has it."""
    return {name: {"typed": one.typed, "unit": one.unit} for name, one in made_up_bow(task, student)}


RISE_OF_5 = read(str(bow_of(4711, 5)["rise"]["typed"])) / 4


def lesson_key(students: int) -> list[Data]:
    """The answer key, each student's as what they would enter: predictions and numbers."""
    record = ALL_LESSONS | {"practice_key": "yes", "practice_class": students}
    table = table_of(answered(record, "practice"), "lesson-key")
    assert table.columns == ("number", *(f"lesson {place}" for place in range(1, 8)))
    assert [row[0] for row in table.rows] == [str(place) for place in range(1, students + 1)]
    alike = re.findall(r"Lesson (\d): “([^”]+)”", table.note)
    assert [int(number) for number, _ in alike] == list(range(1, 9))
    entries: Data = {}
    for number, said in alike:
        question = BY_NAME[CONTENT[int(number) - 1].question]
        (entries[question.name],) = [option.value for option in question.options if option.label == said]  # type: ignore[union-attr]
    found = []
    for row in table.rows:
        read_off = {
            one.answer: {"typed": cell.split()[0], "unit": BY_NAME[one.answer].unit}  # type: ignore[union-attr]
            for one, cell in zip(CONTENT, row[1:], strict=False)
        }
        found.append(entries | read_off)
    return found


def test_the_answer_key_of_the_lessons_is_what_their_page_takes_of_each_student() -> None:
    """What is right of one student's bow is right on the page of that student, whatever bow is open there."""
    for student, entries in enumerate(lesson_key(3), 1):
        for bow in ({}, COMPLETE, bow_of(4711, student)):
            record = bow | ALL_LESSONS | {"practice_student": student} | entries
            lines = lines_of(answered(record, "lessons"))
            assert {line.mark for name, line in lines.items() if name.startswith(("why-", "tell-"))} == {"go"}
            assert {mark for mark, _ in way_of(record).values()} == {"done"}


def test_a_neighbours_numbers_are_not_right() -> None:
    key = lesson_key(12)
    assert all(one != other for one, other in pairwise(key))
    right = []
    for student in range(2, 13):
        copied = ALL_LESSONS | {"practice_student": student} | key[student - 2]
        lines = lines_of(answered(copied, "lessons"))
        right.append([line.mark for name, line in lines.items() if name.startswith("tell-")].count("go"))
    # Some numbers of two bows lie as near together as one is taken.
    assert max(right) <= 4
    assert sum(right) / len(right) < 2.5


def test_predictions_that_differ_stand_with_their_numbers(monkeypatch: pytest.MonkeyPatch) -> None:
    """No two of these bows differ in what is right; where two do, the key says each one's."""
    one = CONTENT[4]

    def by_weight(values: Values) -> str:
        return "some" if values.number("draw_weight") > 160 else "little"

    monkeypatch.setattr(task_lessons, "LESSONS", (*CONTENT[:4], replace(one, right=by_weight), *CONTENT[5:]))
    record = LESSONS | {"practice_lessons": "5", "practice_key": "yes", "practice_class": 12}
    table = table_of(answered(record, "practice"), "lesson-key")
    assert table.note == ""
    said = {row[1].partition("; ")[0] for row in table.rows}
    assert len(said) == 2
    assert all(row[1].endswith(" lb") for row in table.rows)


def test_a_student_is_led_to_their_made_up_bow_and_told_when_it_is_open() -> None:
    """The link is one that any page opens, and it holds that bow and nothing else."""
    for page in ("practice", "lessons"):
        of_student = LESSONS | {"practice_student": 17}
        assert "task-bow" not in {name_of(part) for part in answered(LESSONS, page).parts}
        for other in (COMPLETE, bow_of(4711, 17) | {"rise": 4}, bow_of(4711, 16)):
            (stage,) = bow_way(other | of_student, page).stages
            assert (stage.text, stage.page, stage.mark) == ("Open your made-up bow", "lessons", "next")
        assert from_fragment(stage.anchor).record.entries == dict(made_up_bow(4711, 17))
        (stage,) = bow_way(bow_of(4711, 17) | of_student, page).stages
        assert (stage.text, stage.mark, stage.note) == ("Your made-up bow is open", "done", "")


def bow_way(record: Data, page: str) -> Way:
    (way,) = [part for part in answered(record, page).parts if isinstance(part, Way) and part.name == "task-bow"]
    return way


def test_the_link_of_a_task_with_lessons_carries_them_and_check_digits() -> None:
    record = from_data(LESSONS | {"practice_level": "found"}).record
    answer = WIDGETS["practice"].answer(Values(record, "https://club.example/bows/"))
    check = check_digits("404711138")
    address = f"https://club.example/bows/practice/?lessons=1,3,8&task=4711&level=found&check={check}"
    assert lines_of(answer)["task-address"].text == f"Link to this task: {address}"
    assert read_codes(drawn(picture_of(answer, "task-code").svg, 42, 42)) == [address]
