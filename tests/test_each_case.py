"""A test of many cases looks at all of them and names each that breaks the rule (helpers/each_case.py)."""

from __future__ import annotations

import pytest

from helpers.each_case import holds_of_each


def test_all_that_break_the_rule_are_named_with_why() -> None:
    @holds_of_each([1, 2, 3, 4], lambda number: f"number {number}")
    def is_odd(number: int) -> None:
        """Two of them are."""
        assert number % 2 == 1, f"{number} is even"

    with pytest.raises(AssertionError) as told:
        is_odd()
    said = [line for line in str(told.value).splitlines() if line.startswith("number")]
    assert said == ["number 2: 2 is even", "number 4: 4 is even"]
    assert (is_odd.__name__, is_odd.__doc__) == ("is_odd", "Two of them are.")


def test_a_tuple_is_the_parts_of_one_case() -> None:
    seen = []

    @holds_of_each([(1, "one"), (2, "two")], lambda case: str(case[0]))
    def is_listed(number: int, word: str) -> None:
        seen.append((number, word))

    is_listed()
    assert seen == [(1, "one"), (2, "two")]


def test_what_is_no_broken_rule_ends_it() -> None:
    @holds_of_each([1], str)
    def stumbles(_number: int) -> None:
        raise KeyError

    with pytest.raises(KeyError):
        stumbles()


def test_a_rule_of_nothing_is_none() -> None:
    with pytest.raises(AssertionError):
        holds_of_each([], str)
