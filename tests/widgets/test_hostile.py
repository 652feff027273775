"""Hostile records through every widget: a sentence or an answer comes of each, and no number that is none.

The long form: .made/venv/bin/python build_scripts/measure_hostile.py --records 20000
"""

from __future__ import annotations

import json
import math

import pytest

from helpers import hostile
from helpers.hostile import faults, told_of
from quarterturn.widgets import WIDGETS
from quarterturn.worker_interface import ask

RECORDS = 60


@pytest.mark.long
def test_nothing_of_a_hostile_record_comes_through() -> None:
    told = list(faults(range(RECORDS)))
    assert len(told) == RECORDS * len(WIDGETS)
    assert [(seed, widget, one.fault) for seed, widget, one in told if one.fault] == []


def test_records_are_answered_in_every_way_and_refused() -> None:
    """Of records that are all refused, or all well, nothing would be learned."""
    replies = [json.loads(ask(hostile.question(hostile.hostile(seed), "plan"))) for seed in range(RECORDS)]
    assert {reply["state"] for reply in replies} >= {"refused", "explain", "example", "stop", "ask", "open"}


@pytest.mark.parametrize("reply", ["raises", "broken", "stumbled", "infinite", "nan"])
def test_a_fault_would_be_seen(monkeypatch: pytest.MonkeyPatch, reply: str) -> None:
    def answer(_: str) -> str:
        if reply == "raises":
            return str(1 / 0)
        return {
            "broken": '{"broken": "x"}',
            "stumbled": '{"html": "<p>It stumbled.</p>", "speak": ""}',
            "infinite": f'{{"html": "<p data-value=\\"{math.inf}\\"></p>", "speak": ""}}',
            "nan": '{"html": "<p>about <b>nan</b> turns</p>", "speak": ""}',
        }[reply]

    monkeypatch.setattr(hostile, "ask", answer)
    assert told_of({}, "plan").fault != ""
