"""Tasks for a class: which bolt each student gets, and the code of what came of it.

The check digits are those of ISO/IEC 7064, MOD 97-10, which ISO 13616 uses for account numbers: its examples of those,
as they are printed in many places (from memory), are taken here without their letters.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from quarterturn.bench.practice import LEVELS, MOST_BOWS
from quarterturn.bench.practice_task import (
    LESSON_STANDS,
    MOST_LESSONS,
    MOST_STUDENTS,
    MOST_TASKS,
    OUTCOMES,
    TaskCodeError,
    TaskLessonsError,
    TaskResult,
    bolt_number,
    check_digits,
    code_of,
    lessons_of,
    link_check,
    read_code,
)

RESULT = TaskResult("paper", 4711, 17, True, "inside", "near")


@pytest.mark.parametrize(
    ("digits", "check"),
    [
        ("32142829123456987654321611", "82"),  # GB82 WEST 1234 5698 7654 32, letters as two digits, GB at the end
        ("3704004405320130001314", "89"),  # DE89 3704 0044 0532 0130 00
        ("794", "44"),  # ISO/IEC 7064's own example
    ],
)
def test_check_digits_are_the_standards(digits: str, check: str) -> None:
    assert check_digits(digits) == check
    assert int(digits + check) % 97 == 1


def test_a_code_is_there_and_back() -> None:
    for level in LEVELS:
        for right in (True, False):
            for inner in OUTCOMES:
                result = TaskResult(level, MOST_TASKS, MOST_STUDENTS, right, inner, "past")
                assert read_code(code_of(result)) == result
    assert code_of(RESULT).startswith("2 04711 017 132 ")
    assert read_code(f" {code_of(RESULT).replace(' ', '-')} ") == RESULT


def test_a_code_of_before_there_were_lessons_is_read_as_then() -> None:
    """As the package wrote it when a task had a level only."""
    assert code_of(RESULT) == "2 04711 017 132 89"
    assert read_code("2 04711 017 132 89") == RESULT


STANDS = ("right", "none", "open", "none", "none", "done", "none", "right")
WITH_LESSONS = replace(RESULT, lessons=STANDS)


def test_a_code_with_lessons_is_there_and_back() -> None:
    """Each lesson in each of its four ways, alone and beside others; five digits for all."""
    for place in range(MOST_LESSONS):
        for stand in LESSON_STANDS:
            for others in ("none", "right"):
                stands = tuple(stand if at == place else others for at in range(MOST_LESSONS))
                if set(stands) != {"none"}:
                    result = replace(RESULT, lessons=stands)
                    assert read_code(code_of(result)) == result
    # By fours, the first lesson lowest: right 3 + open 1 * 16 + done 2 * 1024 + right 3 * 16384.
    assert code_of(WITH_LESSONS).startswith("2 04711 017 132 51219 ")
    assert len(code_of(WITH_LESSONS).replace(" ", "")) == 19


def test_a_link_with_lessons_ends_in_check_digits() -> None:
    assert lessons_of(" 6,1 ,3, 1") == (1, 3, 6)
    assert lessons_of("8 2") == (2, 8)
    assert int("204711136" + link_check("paper", 4711, (1, 3, 6))) % 97 == 1
    for text in ("0", "9", "1.5", "136", "one", ",", ""):
        with pytest.raises(TaskLessonsError):
            lessons_of(text)


@pytest.mark.parametrize("result", [RESULT, WITH_LESSONS], ids=["short", "long"])
def test_every_wrong_digit_and_every_exchange_of_neighbours_is_found(result: TaskResult) -> None:
    digits = code_of(result).replace(" ", "")
    for place, digit in enumerate(digits):
        for other in "0123456789":
            if other != digit:
                with pytest.raises(TaskCodeError, match="A digit of it is wrong"):
                    read_code(digits[:place] + other + digits[place + 1 :])
    for place in range(len(digits) - 1):
        swapped = digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :]
        if swapped != digits:
            with pytest.raises(TaskCodeError, match="two are exchanged"):
                read_code(swapped)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "14 digits, or 19 with lessons, and this has 0"),
        ("204711", "14 digits, or 19 with lessons, and this has 6"),
        ("2 04711 017 13x 45", "digits only"),
        ("²04711017132456", "digits only"),
        (f"000000000000{check_digits('000000000000')}", "no task gives it"),
        (f"204711017133{check_digits('204711017133')}0", "and this has 15"),
        (f"204711017144{check_digits('204711017144')}", "no task gives it"),
        (f"904711017133{check_digits('904711017133')}", "no task gives it"),
        (f"20471101713300000{check_digits('20471101713300000')}", "no task gives it"),
        (f"20471101713365536{check_digits('20471101713365536')}", "no task gives it"),
    ],
)
def test_what_is_no_code_is_refused_in_a_sentence(text: str, part: str) -> None:
    with pytest.raises(TaskCodeError, match=part) as refused:
        read_code(text)
    assert str(refused.value).endswith(".")


def test_neighbours_and_tasks_have_bolts_of_their_own() -> None:
    """In a class of forty no two have the same, in any of a hundred tasks; and they are the same for ever."""
    for task in range(1, 101):
        numbers = [bolt_number(task, student) for student in range(1, 41)]
        assert len(set(numbers)) == 40
        assert all(1 <= number <= MOST_BOWS for number in numbers)
    assert [bolt_number(4711, student) for student in (1, 2, 3)] == [95294, 3798, 12302]


@pytest.mark.parametrize(("task", "student"), [(0, 1), (MOST_TASKS + 1, 1), (1, 0), (1, MOST_STUDENTS + 1)])
def test_there_is_no_such_task_or_student(task: int, student: int) -> None:
    with pytest.raises(ValueError, match="no task"):
        bolt_number(task, student)
