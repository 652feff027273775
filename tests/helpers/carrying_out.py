"""A made-up bow with a plan, entries of its log as it was computed, and what the page on carrying out says in words."""

from __future__ import annotations

import re
from typing import Any

from helpers.asking import COMPLETE, answered, numbers
from quarterturn.widgets.answer import Answer, Steps

BOW: dict[str, Any] = {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}
OWN: dict[str, Any] = COMPLETE | BOW
WANTED: dict[str, Any] = OWN | {"wanted_weight": 39, "wanted_tiller": 0}
START = (2.5, 2.0)
Row = dict[str, Any]


def row(day: int, upper: float | None = None, lower: float | None = None, **more: Any) -> Row:
    """An entry of the log; `tiller` is upper less lower, about 354 mm together."""
    found = {"date": f"2026-07-{day:02}", "upper_at": upper, "lower_at": lower, "weight": more.get("weight")}
    if "tiller" in more:
        found |= {"upper_tiller": 177 + more["tiller"] / 2, "lower_tiller": 177 - more["tiller"] / 2}
    return {name: value for name, value in (found | {"brace_height": more.get("brace")}).items() if value is not None}


def bow_at(upper: float, lower: float, record: dict[str, Any] = OWN) -> dict[str, float]:
    """What the computed bow gives there, by the page on tiller: lb, mm, mm."""
    found = numbers(answered(record | {"upper_change": upper - START[0], "lower_change": lower - START[1]}, "tiller"))
    if (upper, lower) == START:
        return {"weight": found["weight"], "tiller": found["tiller"], "brace": found["brace_height"]}
    return {"weight": found["weight_then"], "tiller": found["tiller_then"], "brace": found["brace_then"]}


def as_computed(day: int, upper: float, lower: float, **off: float) -> Row:
    """An entry with all three read as computed, or by so much more."""
    there = bow_at(upper, lower)
    return row(day, upper, lower, **{name: round(value + off.get(name, 0), 3) for name, value in there.items()})


def steps_of(answer: Answer, name: str) -> tuple[str, ...]:
    return next((block.steps for block in answer.blocks if isinstance(block, Steps) and block.name == name), ())


def next_of(answer: Answer) -> str:
    return " ".join(steps_of(answer, "next-step"))


def turned_in(text: str, *, left: bool = False) -> tuple[float, float]:
    """How far a sentence turns each bolt, by its own words: out positive; with `left` the thread is left-hand."""
    found = {"upper": 0.0, "lower": 0.0}
    size = {"half a turn": 0.5, "a quarter of a turn": 0.25}
    pattern = (
        r"(both bolts|the upper bolt|the lower bolt) (in|out)( \((?:anti)?clockwise, facing the head\))?,?( each)? "
        r"by ([^:;.]+(?:\.\d+ turns?)?)"
    )
    for bolts, way, hand, _, far in re.findall(pattern, text):
        assert hand in ("", f" ({'clockwise' if (way == 'in') is not left else 'anticlockwise'}, facing the head)")
        turns = size.get(far.strip()) or float(far.split()[0])
        for bolt in ("upper", "lower") if bolts == "both bolts" else (bolts.split()[1],):
            found[bolt] += turns * (1 if way == "out" else -1)
    return found["upper"], found["lower"]


def count_of(answer: Answer) -> tuple[int, int]:
    """The step that comes next, and how many there are, by the title."""
    step, of = re.match(r"Step (\d+) of (\d+): ", answer.title).groups()  # type: ignore[union-attr]
    return int(step), int(of)
