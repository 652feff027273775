"""How quick the bow is: a draw, a curve with its band, a turn, an answer; in CPython and the built Pyodide (Node).

    .made/venv/bin/python build_scripts/measure_bow.py [--times 200]

Medians of many, in milliseconds, of the default bow and of the example's record. Both run the same code, one after the
other. Not a test: it is for people who change how the bow is computed.
"""

from __future__ import annotations

import argparse
import json
import sys

from places import ROOT

sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "calc")]

ROWS = {
    "strung": "the strung bow, from nothing",
    "strung_near": "the strung bow, from one near by",
    "full": "28 in, from the strung bow",
    "point": "one draw length of a curve, begun from the last",
    "curve": "a curve of 20 draw lengths",
    "change": "what a quarter turn changes (strung and at 28 in)",
    "refused": "a draw that cannot be, refused",
    "fitted": "a record's bow found from its readings",
    "banded": "that, its curve of 20 draw lengths and its band",
    "uncertainty": "that, and how sure what turns do is",
    "turned": "page on tiller: first part, a bolt turned",
    "read": "page on tiller: first part, a reading changed",
    "whole": "page on tiller: whole answer, a bolt turned",
    "whole_read": "page on tiller: whole answer, a reading changed",
    "wish": "page on a plan: first part, a wish changed",
    "wish_whole": "page on a plan: whole answer, a wish changed",
    "plan_read": "page on a plan: first part, a reading changed, a log of four",
    "plan_whole": "page on a plan: whole answer, a reading changed, a log of four",
}
CODE = """
import json
from time import perf_counter
from quarterturn.mechanics.bow import Bow, BowError, BowString, Side
from quarterturn.mechanics.continuation import curve, drawn
from quarterturn.mechanics.equilibrium import braced
from quarterturn.mechanics.limb import Limb
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.pocket import Pocket

INCH = 0.0254
pocket = Pocket(0.060, 0.008, 0.067, 0.0095, 0.0051, INCH / 24, 0.080)

def side(stiffness, y):
    return Side(Limb(0.535, stiffness, 0.5, 0.2, -7.0, 0.365), 0.045, y, 0.030, 0.008, 0.030, 0.008)

bow = Bow(side(33.37, 0.315), side(34.281, 0.295), BowString(0.7879, 0.8579))
rock = (rock_angle(pocket, 2.0), rock_angle(pocket, 2.0))
turned = (rock_angle(pocket, 1.75), rock[1])
full = 26.25 * INCH
strung = braced(bow, rock)
draws = [strung.draw + (full - strung.draw) * place / 20 for place in range(1, 21)]
last = drawn(bow, rock, full, start=strung)

def refused():
    try:
        drawn(bow, rock, 1.5, start=strung)
    except BowError:
        pass

from quarterturn.bench.bow_inputs import bow_inputs
from quarterturn.bench.bow_uncertainty import force_sensitivities, uncertainty_of
from quarterturn.worker_interface import ask
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values

count = 0

def fresh():
    # A record whose reading was never asked about.
    global count
    count += 1
    return {"version": 1, "brace_height": 220 + (count % 4000) / 1000}

def found():
    return bow_inputs(Values(from_data(fresh()).record), ("fulcrum_arm",))

def banded():
    bow = found()
    ends = bow.fitted.braced.draw, bow.draw
    draws = [ends[0] + (ends[1] - ends[0]) * place / 20 for place in range(1, 21)]
    computed = curve(bow.fitted.bow, bow.fitted.rock, draws, start=bow.fitted.braced)
    return computed, force_sensitivities(bow, tuple(draws[3::4]))

def tiller(record, part):
    request = {"ask": "answer", "widget": "tiller", "record": record}
    return ask(json.dumps(request | ({"part": "first"} if part == "first" else {})))

def turn():
    global count
    count += 1
    return {"version": 1, "upper_change": -(count % 2000) / 1000}

CHECKS = ("limbs", "butt", "bolt", "match")
PLANNED = {
    "version": 1, "bolt_family": "flat", "check_manual": "read", "check_string_off": "off", "check_lock": "loose",
    **{f"check_{name}": "fine" for name in CHECKS},
    "flush_way": "outside", "head_diameter": 19, "draw_weight": 38, "upper_tiller": 179, "lower_tiller": 175,
    "upper_touch_found": "yes", "upper_touch_turns": 5.25, "lower_touch_found": "yes", "lower_touch_turns": 5,
    "upper_now_side": "out", "upper_now_turns": 2.5, "lower_now_side": "out", "lower_now_turns": 2,
    "upper_rim_to_butt": 2.5, "lower_rim_to_butt": 2.5, "brace_height": 222,
}
LOG = [
    {"date": f"2026-06-0{day}", "upper_at": 2.5 + day / 4, "lower_at": 2 + day / 8, "weight": 38 - day / 5,
     "upper_tiller": 179 + day / 2, "lower_tiller": 175 - day / 2, "brace_height": 222 + day / 3}
    for day in range(1, 5)
]

def plan(record, part):
    request = {"ask": "answer", "widget": "plan", "record": PLANNED | record}
    return ask(json.dumps(request | ({"part": "first"} if part == "first" else {})))

def wish():
    global count
    count += 1
    return {"wanted_weight": 37 + (count % 900) / 1000}

asked = {
    "wish": lambda: plan(wish(), "first"),
    "wish_whole": lambda: plan(wish(), ""),
    "plan_read": lambda: plan(fresh() | wish() | {"log": LOG}, "first"),
    "plan_whole": lambda: plan(fresh() | wish() | {"log": LOG}, ""),
    "fitted": found,
    "banded": banded,
    "uncertainty": lambda: uncertainty_of(found()),
    "turned": lambda: tiller(turn(), "first"),
    "read": lambda: tiller(fresh(), "first"),
    "whole": lambda: tiller(turn(), ""),
    "whole_read": lambda: tiller(fresh(), ""),
    "strung": lambda: braced(bow, rock),
    "strung_near": lambda: braced(bow, turned, start=strung),
    "full": lambda: drawn(bow, rock, full, start=strung),
    "curve": lambda: curve(bow, rock, draws, start=strung),
    "change": lambda: (braced(bow, turned, start=strung), drawn(bow, turned, full, start=last)),
    "refused": refused,
}

QUICK = ("strung", "strung_near", "full", "change", "turned")

def median(function, times):
    taken = []
    for _ in range(times):
        began = perf_counter()
        function()
        taken.append((perf_counter() - began) * 1000)
    return sorted(taken)[len(taken) // 2]

def measure(times):
    found = {}
    for name, function in asked.items():
        often = max(3, times // (1 if name in QUICK else 10))
        median(function, 3)
        found[name] = median(function, often)
    found["point"] = found["curve"] / len(draws)
    return json.dumps(found)
"""


def in_cpython(times: int) -> dict[str, float]:
    """Return the medians of this Python, ms."""
    names: dict[str, object] = {}
    exec(compile(CODE, "measured", "exec"), names)
    measure = names["measure"]
    if not callable(measure):
        raise TypeError("the measured code has no measure()")
    return read(str(measure(times)))


def in_pyodide(times: int) -> dict[str, float]:
    """Return the medians of the built runtime under Node, ms."""
    import runtime
    from helpers.node_pyodide import run_python

    return read(run_python(runtime.build(), f"{CODE}\nmeasure({times})\n"))


def read(text: str) -> dict[str, float]:
    """Return names and numbers of a JSON text."""
    return {str(name): float(value) for name, value in json.loads(text).items()}


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure how quick the bow is.")
    parser.add_argument("--times", type=int, default=200)
    times = parser.parse_args().times
    here, there = in_cpython(times), in_pyodide(times)
    print(f"{'median, ms':50}{'CPython':>10}{'Pyodide':>10}{'ratio':>8}")
    for name, words in ROWS.items():
        print(f"{words:50}{here[name]:10.2f}{there[name]:10.2f}{there[name] / here[name]:8.1f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
