"""The real package in the cut library: Pyodide under Node answers as CPython does, with both versions of Pyodide."""

from __future__ import annotations

import json

import pytest

import runtime
from helpers.node_pyodide import ask_all
from quarterturn.worker_interface import ask

DEFAULTS: dict[str, object] = {"ask": "answer", "widget": "safe-range", "record": {"version": 1}}
# One request of every kind, good and bad: an answer, a refusal with sentences, a link and back, an old record.
REQUESTS: list[dict[str, object]] = [
    DEFAULTS,
    {**DEFAULTS, "record": {"version": 1, "bolt_family": "flat", "upper_touch_turns": "5,25"}},
    {**DEFAULTS, "record": {"version": 1, "upper_touch_turns": "-1e308", "upper_flush_turns": "NaN"}},
    {**DEFAULTS, "record": {"version": 1, "upper_touch_turns": "five", "bolt_family": "no such thing"}},
    {**DEFAULTS, "record": {"version": 99, "nobody_knows": 1}},
    {"ask": "answer", "widget": "no such widget", "record": {}},
    {"ask": "link", "record": {"version": 1, "upper_touch_turns": {"typed": "5,25", "unit": "turn"}}},
    {"ask": "open", "fragment": "q1.not-a-link"},
    {"ask": "read", "text": '{"version": 1, "bow_name": {"typed": "Club bow 3 <b>"}}'},
    {"ask": "read", "text": "{" * 5000},
    {"ask": "nothing"},
]


@pytest.mark.parametrize("version", sorted(runtime.INTEGRITY))
def test_pyodide_answers_as_cpython_does(version: str) -> None:
    asked = [json.dumps(request) for request in REQUESTS]
    link = json.loads(ask(asked[6]))["fragment"]
    asked.append(json.dumps({"ask": "open", "fragment": link}))
    answers = ask_all(runtime.build(version), asked)
    assert answers == [ask(text) for text in asked]
    assert "broken" not in json.loads(answers[0])
    assert json.loads(answers[0])["html"]
    assert json.loads(answers[6])["fragment"] == link
    assert json.loads(answers[-1])["record"]
