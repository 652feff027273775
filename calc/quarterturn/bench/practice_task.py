"""A task on the practice bench: each student's own made-up bolt from two numbers, and the code of what came of it.

A task may have lessons too, by their numbers. Its code is longer then: it tells of each lesson how far it came.

The code is read aloud or copied by hand, so it is of digits alone, and ends in two check digits by ISO/IEC 7064,
MOD 97-10 (sources.md E), which finds every single wrong digit and every two neighbours exchanged.
"""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.practice import LEVELS, MOST_BOWS
from quarterturn.draws import Draws

MOST_TASKS, MOST_STUDENTS = 99_999, 999
OUTCOMES = ("none", "past", "near", "inside")
"""Of one end of the range that was chosen: none chosen; past the true end; too near it; well inside."""
MOST_LESSONS = 8
LESSON_STANDS = ("none", "open", "done", "right")
"""Of one lesson: not of the task; not finished; finished; finished, and its prediction right."""
GROUPS = (1, 5, 3, 3, 2)
"""How the digits of a code stand together."""
WITH_LESSONS = (1, 5, 3, 3, 5, 2)
"""The same where the task has lessons: five digits for all eight."""
LENGTH, LONG = sum(GROUPS), sum(WITH_LESSONS)


class TaskCodeError(ValueError):
    """It is no code of a task; the message is a whole sentence."""


class TaskLessonsError(ValueError):
    """A text names no lessons."""


@dataclass(frozen=True, slots=True)
class TaskResult:
    """What came of one student's try.

    Attributes:
        level: one of LEVELS.
        task: 1 to MOST_TASKS.
        student: 1 to MOST_STUDENTS.
        right: whether it was rightly said where the bolt was found.
        inner, outer: how the ends of the chosen range lie, each one of OUTCOMES.
        lessons: of each of the MOST_LESSONS lessons one of LESSON_STANDS; none at all for a task without lessons.
    """

    level: str
    task: int
    student: int
    right: bool
    inner: str
    outer: str
    lessons: tuple[str, ...] = ()


def bolt_number(task: int, student: int) -> int:
    """The number of the made-up bolt that a student gets: neighbours have different ones.

    Raises:
        ValueError: a number is outside its limits.
    """
    if not (1 <= task <= MOST_TASKS and 1 <= student <= MOST_STUDENTS):
        raise ValueError(f"no task {task} for student {student}")
    draws = Draws(task * (MOST_STUDENTS + 1) + student)
    draws.integer()
    return 1 + draws.one_of(MOST_BOWS)


def check_digits(digits: str) -> str:
    """The two check digits of ISO/IEC 7064, MOD 97-10: with them at its end the number leaves 1 over 97."""
    return f"{98 - int(digits) * 100 % 97:02d}"


def code_of(result: TaskResult) -> str:
    """The code, in groups of digits: "2 04711 017 133 45"."""
    digits = (
        f"{LEVELS.index(result.level) + 1}{result.task:05d}{result.student:03d}"
        f"{int(result.right)}{OUTCOMES.index(result.inner)}{OUTCOMES.index(result.outer)}"
    )
    if result.lessons:
        digits += f"{_number_of(result.lessons):05d}"
    digits += check_digits(digits)
    parts, start = [], 0
    for size in WITH_LESSONS if result.lessons else GROUPS:
        parts.append(digits[start : start + size])
        start += size
    return " ".join(parts)


def read_code(text: str) -> TaskResult:
    """What a code says.

    Raises:
        TaskCodeError: it is none, or a digit is wrong.
    """
    digits = "".join(text.replace("-", " ").split())
    if digits and not (digits.isascii() and digits.isdigit()):
        raise TaskCodeError("A code has digits only.")
    if len(digits) not in (LENGTH, LONG):
        raise TaskCodeError(f"A code has {LENGTH} digits, or {LONG} with lessons, and this has {len(digits)}.")
    if int(digits) % 97 != 1:
        raise TaskCodeError("A digit of it is wrong, or two are exchanged. Ask for it again.")
    level, task, student = int(digits[0]), int(digits[1:6]), int(digits[6:9])
    right, inner, outer = (int(digit) for digit in digits[9:12])
    lessons = _stands_of(int(digits[12:17])) if len(digits) == LONG else ()
    fits = 1 <= level <= len(LEVELS) and task and student and right <= 1 and max(inner, outer) < len(OUTCOMES)
    if not fits or (len(digits) == LONG and set(lessons) <= {"none"}):
        raise TaskCodeError("Its check digits are right, and yet no task gives it.")
    return TaskResult(LEVELS[level - 1], task, student, right == 1, OUTCOMES[inner], OUTCOMES[outer], lessons)


# Lessons


def lessons_of(text: str) -> tuple[int, ...]:
    """The lessons that a text names, "1, 3, 6", each once and in order.

    Raises:
        TaskLessonsError: something in it is no lesson's number.
    """
    numbers = set(text.replace(",", " ").split())
    if not numbers or not numbers <= {str(number) for number in range(1, MOST_LESSONS + 1)}:
        raise TaskLessonsError(text)
    return tuple(sorted(map(int, numbers)))


def link_check(level: str, task: int, lessons: tuple[int, ...]) -> str:
    """The check digits at the end of a link to a task with lessons: one that was cut or changed is found by them.

    The page's script (task_link.js) holds a link against them.
    """
    return check_digits(f"{LEVELS.index(level) + 1}{task:05d}{''.join(map(str, lessons))}")


def _number_of(stands: tuple[str, ...]) -> int:
    """One number for how all lessons stand; the first has the lowest place."""
    number = 0
    for stand in reversed(stands):
        number = len(LESSON_STANDS) * number + LESSON_STANDS.index(stand)
    return number


def _stands_of(number: int) -> tuple[str, ...]:
    """The other way; none at all for a number that is too large."""
    stands = []
    for _ in range(MOST_LESSONS):
        number, place = divmod(number, len(LESSON_STANDS))
        stands.append(LESSON_STANDS[place])
    return () if number else tuple(stands)
