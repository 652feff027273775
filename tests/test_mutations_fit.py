"""Every fault that is put in on purpose still fits the code: what it changes stands there once (see mutations.py)."""

from __future__ import annotations

from helpers.each_case import holds_of_each
from mutations import FAULTS, ROOT, Fault

each_fault = holds_of_each(FAULTS, lambda fault: fault.name)


@each_fault
def test_what_a_fault_changes_stands_there_once(fault: Fault) -> None:
    assert (ROOT / fault.file).read_text(encoding="utf-8").count(fault.before) == 1
    assert fault.before != fault.after


@each_fault
def test_the_tests_that_should_notice_it_are_there(fault: Fault) -> None:
    """Without them the run fails, and the fault would pass for noticed."""
    named = [word for word in fault.tests if word.startswith("tests/")]
    assert named
    assert [word for word in named if not (ROOT / word).exists()] == []


def test_no_two_faults_have_one_name() -> None:
    assert len({fault.name for fault in FAULTS}) == len(FAULTS)
