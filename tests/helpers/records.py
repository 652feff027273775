"""Records drawn from the published schema's own limits, the same ones for every interpreter: a seed gives a record."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import date
from functools import cache
from typing import Any

from quarterturn.record.fields import BOLTS
from quarterturn.record.fields.inspection_items import ITEMS
from quarterturn.record.schema import schema

Record = dict[str, Any]

CALM = {
    "check_manual": ["read", "none"],
    "check_string_off": ["off"],
    "check_limbs": ["fine"],
    "check_butt": ["fine"],
    "check_bolt": ["fine"],
    "check_match": ["fine"],
    "check_lock": ["loose"] * 12 + ["none"] * 12 + ["unsure"],
    "bolt_family": ["flat", "flat", "stop", "swivel", "pivot"],
    "first_in": ["flush", "flush", "flush", "stop"],
    "touch_found": ["yes"] * 9 + ["no"],
    "now_side": ["out"] * 9 + ["in"],
    "inspection_source": ["own"] * 12 + ["other"],
    "marks_checked": ["right"],
    **{item.name: ["fine"] for item in ITEMS},
}
"""Answers that let the work go on, some more often than others: without them nearly every drawn record would be a stop
at the gate, or contradict itself."""

LIKELY = {
    "strip_thickness": (0.03, 0.2),
    "smallest_turn": (0.03, 0.25),
    "play": (0.0, 0.2),
    "margin": (0.25, 0.75),
    "touch_turns": (2.5, 9.0),
    "now_turns": (0.0, 6.0),
    "stop_turns": (0.25, 2.0),
    "free_turns": (16.0, 36.0),
    "free_from_mark": (14.0, 30.0),
    "stand_zero": (10.0, 14.0),
    "bolt_length": (36.0, 46.0),
    "bush_length": (14.0, 30.0),
    "thread_diameter": (5.0, 10.0),
    "bracket": (0.0, 1.5),
    "rim_to_butt": (0.5, 5.0),
    "rise": (3.2, 6.0),
    "rise_turns": (4.0, 4.0),
    "head_diameter": (14.0, 24.0),
    "slot_width": (6.0, 12.0),
    "fulcrum_arm": (40.0, 90.0),
    "maker_in": (0.0, 0.5),
    "maker_out": (4.0, 8.0),
    "lever_travel": (20.0, 35.0),
    "lever_turns": (3.0, 3.0),
    "tip_length": (500.0, 600.0),
    "brace_height": (205.0, 235.0),
    "tiller": (168.0, 185.0),
    "fulcrum_span": (590.0, 630.0),
    "fulcrum": (300.0, 325.0),
    "limb_length": (550.0, 580.0),
    "string_length": (1600.0, 1690.0),
    "string_upper": (770.0, 805.0),
    "draw_length": (24.0, 30.0),
    "draw_weight": (15.0, 60.0),
    "station_offset": (-5.0, 10.0),
    "change": (-1.5, 1.5),
    "at": (0.5, 4.0),
    "draw": (18.0, 31.0),
    "weight": (8.0, 48.0),
}
"""Ranges, inside the schema's, in which a bench is likely to be: without them few drawn records would have a window."""

SELDOM = {"log": 0.8, "events": 0.95, "marks_checked": 0.02, "marks_checked_on": 0.02}
"""How often these are left out: most bows have neither a history nor an accident, and tillers drawn apart are as often
as not those of exchanged limbs, so that the marks must have been looked at."""

OTHER_UNIT = {"mm": ("in", 25.4), "in": ("mm", 1 / 25.4)}
"""A length is typed in the other unit too; beside it, how much of its own unit that one is."""

NEEDED_WITH_OTHERS = ("thread_diameter", "maker_in", "maker_out")
"""Without these a thread's count, or a bolt that cannot be felt, is only an example."""


@cache
def _properties() -> dict[str, Any]:
    """What the schema says of each field; nobody changes it."""
    found: dict[str, Any] = schema()["properties"]  # type: ignore[assignment]
    return found


def drawn(seed: int, *, likely: bool) -> Record:
    """A record: every field entered or left out by chance, every value inside the schema's limits."""
    chance = random.Random(seed)
    record: Record = {"version": 1}
    for name, about in _properties().items():
        if name == "version":
            continue
        if _left_out(name, about, chance, likely):
            continue
        record[name] = _value(name, about, chance, likely)
    return _told_once(record) if likely else record


def _told_once(record: Record) -> Record:
    """The thread that is left told in one way for each bolt, and whole: counted, or by the bolt's length and stand.

    Drawn apart the two would contradict one another; begun and not ended they would be an example.
    """
    dropped = {f"{bolt}_free_from_mark" for bolt in BOLTS if f"{bolt}_free_turns" in record}
    counted = {f"{bolt}_{way}" for bolt in BOLTS for way in ("free_turns", "free_from_mark")} & record.keys()
    dropped |= {f"{bolt}_stand_zero" for bolt in BOLTS if any(name.startswith(bolt) for name in counted)}
    told = [any(name.startswith(bolt) for name in counted) or f"{bolt}_stand_zero" in record for bolt in BOLTS]
    if "bolt_length" not in record or not all(told):
        dropped |= {"bolt_length", *(f"{bolt}_stand_zero" for bolt in BOLTS)}
    # Drawn apart, tillers before a turn and after it would be no bow's.
    dropped |= {f"{bolt}_tried_tiller" for bolt in BOLTS}
    return {name: value for name, value in record.items() if name not in dropped}


def some(count: int, *, start: int = 0) -> Iterator[Record]:
    """So many records; of every four three are likely ones, one is drawn from the whole of the limits."""
    for seed in range(start, start + count):
        yield drawn(seed, likely=seed % 4 != 0)


def _left_out(name: str, about: dict[str, Any], chance: random.Random, likely: bool) -> bool:
    if not likely:
        return chance.random() < 0.3
    if about["x-role"] == "reading":
        return chance.random() < 0.002
    if name in NEEDED_WITH_OTHERS:
        return chance.random() < 0.1
    if name in SELDOM:
        return chance.random() < SELDOM[name]
    # Heights drawn apart from the counts would contradict them.
    return "_height_" in name or chance.random() < 0.5


def _value(name: str, about: dict[str, Any], chance: random.Random, likely: bool) -> Any:
    if "x-unit" in about:
        return _number(name, about, chance, likely)
    if about.get("format") == "date":
        return _day(about, chance)
    if about.get("type") == "array":
        return _rows(about, chance, likely)
    words = about["anyOf"][0]
    if "enum" not in words:
        letters = (chance.choice("abc <>&\"'é;~=%") for _ in range(chance.randint(1, words["maxLength"])))
        return "".join(letters).strip() or "x"
    choices = CALM.get(_of_a_bolt(name), words["enum"]) if likely else words["enum"]
    return chance.choice(choices)


def _rows(about: dict[str, Any], chance: random.Random, likely: bool) -> list[Record]:
    """At least one row; a likely list is short and whole, of another any box may be empty, and so may a row."""
    columns = about["items"]["properties"]
    return [
        {
            column: _value(column, each, chance, likely)
            for column, each in columns.items()
            if likely or chance.random() < 0.8
        }
        for _ in range(chance.randint(1, 8 if likely else about["maxItems"]))
    ]


def _day(about: dict[str, Any], chance: random.Random) -> Any:
    first, last = (date.fromisoformat(about[end]).toordinal() for end in ("x-first", "x-last"))
    day = date.fromordinal(chance.randint(first, last)).isoformat()
    return day if chance.random() < 0.7 else {"typed": f" {day}"}


def _of_a_bolt(name: str) -> str:
    return name.removeprefix("upper_").removeprefix("lower_")


def _number(name: str, about: dict[str, Any], chance: random.Random, likely: bool) -> Any:
    low, high = about["minimum"], about["maximum"]
    if likely:
        low, high = LIKELY.get(_of_a_bolt(name), (low, high))
    value = round(low + (high - low) * chance.random(), 3)
    how = chance.random()
    if how < 0.5:
        return value
    if how < 0.75 or about["x-unit"] not in OTHER_UNIT:
        return {"typed": str(value).replace(".", ","), "unit": about["x-unit"]}
    unit, size = OTHER_UNIT[about["x-unit"]]
    return {"typed": f"{value / size:.6f}", "unit": unit}
