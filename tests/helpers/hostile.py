"""Records that nobody means well: wrong types, extremes, half words, other units, rows of everything; and what comes.

Drawn by seed. Most are nearly right, for what is all wrong is refused at the door.
"""

from __future__ import annotations

import json
import math
import random
import re
import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from helpers.asking import COMPLETE, LOOKED_OVER, MAKER, STRUNG
from helpers.records import drawn
from quarterturn.record.schema import schema
from quarterturn.widgets import WIDGETS
from quarterturn.worker_interface import ask

Record = dict[str, Any]

TODAY = "2026-11-29"
PROPERTIES: dict[str, Any] = schema()["properties"]  # type: ignore[assignment]
NUMBERS = (
    *("", " ", "abc", "inf", "-inf", "nan", "1e999", "-1e999", "1e-999", "0", "-0", "0,0", "38,4.2", "1.2.3", "1/0"),
    *("2 1/2", "1/3", "−3", "½", "2½", "+5", "٣", "5 mm", "0x10", "1_000", "1e5", "9" * 400, "1" + "0" * 60, "00012"),
    *("0.1" * 3, "\u00a05", "5\u0000", "<b>5</b>", "3 - 1", "--3", "1e", ".", ",", "∞", "12'", '3"', "%", "null"),
)
"""What is typed into a box for a number."""
DAYS = ("2026-02-30", "2026-13-01", "0000-00-00", "1999-12-31", "2100-01-01", "2026-6-1", "yesterday", "20260601")
DAYS_IN_ORDER = ("2000-01-01", "2026-05-01", "2026-06-01", "2026-06-01", "2026-11-29", "2026-11-30", "2099-12-31")
WRONG: tuple[Any, ...] = (None, True, False, [], {}, [[]], {"typed": None}, {"typed": []}, {"unit": "mm"}, [1], "", -1)
"""What is no entry at all."""
NO_WORDS = re.compile(r"\b(nan|NaN|inf|Infinity|undefined|null)\b")


@dataclass(frozen=True)
class Result:
    """What a widget made of a record: a fault in words, "" where there is none, and how long it took, s."""

    fault: str
    seconds: float


def hostile(seed: int) -> Record:
    """A record, by seed."""
    chance = random.Random(seed)
    base = chance.choice((COMPLETE, COMPLETE | STRUNG, COMPLETE | STRUNG | LOOKED_OVER, MAKER, {}, None))
    record: Record = dict(base) if base is not None else drawn(seed, likely=chance.random() < 0.5)
    if base is not None and chance.random() < 0.3:
        record |= {name: value for name, value in drawn(seed, likely=True).items() if chance.random() < 0.5}
    if chance.random() < 0.4:
        record["log"] = [_setting(chance) for _ in range(chance.choice((1, 2, 3, 5, 12, 40)))]
    for _ in range(chance.choice((0, 1, 1, 2, 3, 5, 10, 40))):
        name = chance.choice(list(PROPERTIES))
        if name != "version":
            record[name] = _entry(PROPERTIES[name], chance)
    for _ in range(chance.choice((0, 0, 0, 1, 3))):
        record.pop(chance.choice(list(PROPERTIES)), None)
    return record


def _setting(chance: random.Random) -> Record:
    """A row of a log as it might have been written; now and then one box of it is not."""
    tiller = chance.uniform(172, 182)
    row: Record = {
        "date": chance.choice(DAYS_IN_ORDER),
        "upper_at": chance.randint(0, 22) / 4,
        "lower_at": chance.randint(0, 22) / 4,
        "weight": round(chance.uniform(35, 41), 1),
        "upper_tiller": round(tiller, 1),
        "lower_tiller": round(tiller - chance.uniform(-3, 9), 1),
        "brace_height": round(chance.uniform(217, 227)),
    }
    row = {name: value for name, value in row.items() if chance.random() < 0.8}
    if chance.random() < 0.1:
        row[chance.choice(list(PROPERTIES["log"]["items"]["properties"]))] = chance.choice(NUMBERS)
    return row


def _entry(about: dict[str, Any], chance: random.Random) -> Any:
    if chance.random() < 0.05:
        return chance.choice(WRONG)
    if about.get("type") == "array":
        columns = about["items"]["properties"]
        rows = [
            {name: _entry(each, chance) for name, each in columns.items() if chance.random() < 0.6}
            for _ in range(chance.choice((0, 1, 2, 3, 5, 30)))
        ]
        return rows if chance.random() < 0.97 else [*rows, chance.choice(WRONG)]
    if "x-unit" in about:
        return _number(about, chance)
    if about.get("format") == "date":
        return chance.choice(DAYS if chance.random() < 0.2 else DAYS_IN_ORDER)
    words = about["anyOf"][0]
    if "enum" in words:
        return chance.choice(words["enum"]) if chance.random() < 0.95 else chance.choice(NUMBERS)
    return "".join(chance.choice("ab <>&\"'é;\u202e\u0000\ud800") for _ in range(chance.randint(0, 70)))


def _number(about: dict[str, Any], chance: random.Random) -> Any:
    low, high = about["minimum"], about["maximum"]
    how = chance.random()
    if how < 0.15:
        return chance.choice(NUMBERS)
    if how < 0.3:
        value = chance.choice((low, high, low - 1, high + 1, 0, math.nextafter(low, math.inf), math.nextafter(high, 0)))
    else:
        value = low + (high - low) * chance.random() ** chance.choice((1, 3))
    if how < 0.6:
        return round(value, chance.choice((0, 1, 3, 9)))
    unit = chance.choice((about["x-unit"], about["x-unit"], "mm", "in", "lbf", "N", "turn", "degree", "nonsense"))
    return {"typed": str(value), "unit": unit}


def question(record: Record, widget: str) -> str:
    """What the page asks its worker."""
    return json.dumps({"ask": "answer", "widget": widget, "record": record, "today": TODAY})


def told_of(record: Record, widget: str) -> Result:
    """Ask a widget, as the page's worker would."""
    asked, begun = question(record, widget), time.perf_counter()
    try:
        text = ask(asked)
    except Exception as error:
        return Result(f"{type(error).__name__}: {error}", time.perf_counter() - begun)
    return Result(_fault_of(json.loads(text)), time.perf_counter() - begun)


def _fault_of(reply: dict[str, Any]) -> str:
    if "broken" in reply:
        return f"broken: {reply['broken']}"
    html = reply["html"] or ""
    if "stumbled" in html or "stumbled" in reply["speak"]:
        return "stumbled"
    for number in re.findall(r'data-(?:value|uncertainty)="([^"]*)"', html):
        if not math.isfinite(float(number)):
            return f"a number that is none: {number}"
    said = re.sub(r"“[^”]*”\s+i", "", re.sub(r"<[^>]*>", " ", html))  # what was typed may be repeated, and refused
    found = NO_WORDS.search(said)
    return f"“{said[max(0, found.start() - 60) : found.end() + 60]}”" if found else ""


def faults(seeds: range) -> Iterator[tuple[int, str, Result]]:
    """Every seed's record through every widget: seed, widget and what was made of it."""
    for seed in seeds:
        record = hostile(seed)
        for widget in WIDGETS:
            yield seed, widget, told_of(record, widget)
