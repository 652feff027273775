"""What a turn that was tried tells of the numbers that nobody measured.

Outside methods: SciPy's least squares, with what is taken of each number and the reading as the rows of one problem
(Tarantola, Inverse problem theory, 3.2, M); derivatives of the whole search by central differences. That an uncertainty
is then honest is counted in test_coverage.py.
"""

from __future__ import annotations

import math
from dataclasses import asdict, fields, replace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import least_squares

from helpers.asking import ALL_LENGTHS, COMPLETE, STRUNG, values
from helpers.effects import effects_of
from quarterturn.bench import tried_turn
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_numbers import Parameter, moved, parameters
from quarterturn.bench.bow_setup import Setup, strung
from quarterturn.bench.bow_uncertainty import uncertainty_of
from quarterturn.bench.tried_turn import most_probable
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets.tiller.form import ASKED

MM = 1e-3
Numbers = np.ndarray[Any, np.dtype[np.float64]]

MEASURED: dict[str, Any] = COMPLETE | STRUNG | ALL_LENGTHS
TRIED: dict[str, dict[str, Any]] = {
    "more than was thought": {"upper_tried_tiller": 175.2, "lower_tried_tiller": 177.1},
    "less than was thought": {"upper_tried_tiller": 177.4, "lower_tried_tiller": 176.4, "tape_step": 0.3},
    "the lower bolt out": {
        "tried_move": "lower_out",
        "tried_turns": 0.75,
        "upper_tried_tiller": 177,
        "lower_tried_tiller": 177.5,
        "tape_step": 0.5,
    },
}
ASSUMED: dict[str, Any] = COMPLETE | STRUNG
"""No length was measured: more gives way."""
FREE_ALWAYS = ("flush_angle", "taper", "inner_curvature", "recurve_curvature", "recurve", "root_distance")
HELD = ("tiller", "brace_height", "now_turns", "tried_turns")
"""What was read, and what is counted by hand, stays; so does a string that does not stretch."""


@pytest.fixture(autouse=True)
def exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """Searched to the last digit: the package stops where no tape could tell."""
    monkeypatch.setattr(tried_turn, "CLOSE", 1e-9)


def asked(record: dict[str, Any]) -> BowInputs:
    return bow_inputs(values(record), ASKED)


def start_of(record: dict[str, Any]) -> tuple[Values, Setup]:
    """The setup before anything is learned: as without the turn, and the turn."""
    tried = asked(record)
    plain = asked({name: value for name, value in record.items() if "tried" not in name}).setup
    assert tried.setup.tried is not None
    return tried.values, replace(
        plain,
        tried=tried.setup.tried,
        upper_tried_tiller=record["upper_tried_tiller"] * MM,
        lower_tried_tiller=record["lower_tried_tiller"] * MM,
    )


def is_free(each: Parameter) -> bool:
    return each.known != "measured" and each.name != "stretch" and not each.name.endswith(HELD)


def off(setup: Setup) -> float:
    """The tiller that was read after the turn less the one of the bow that is found, m."""
    assert setup.tried is not None
    return setup.upper_tried_tiller - setup.lower_tried_tiller - strung(setup, setup.tried).belly_tiller


def with_parts(setup: Setup, free: list[Parameter], parts: Numbers) -> Setup:
    """Each number off by so many of its standard uncertainties."""
    for each, part in zip(free, parts, strict=True):
        setup = moved(setup, each.name, float(part) * each.half / math.sqrt(3))
    return setup


@pytest.mark.long
@pytest.mark.parametrize("base", ["all measured", "nothing measured"])
@pytest.mark.parametrize("name", TRIED)
def test_every_number_is_where_least_squares_put_it(base: str, name: str) -> None:
    """What was read, and the lengths that were measured, are the reading's own uncertainty: by central differences."""
    record = (MEASURED if base == "all measured" else ASSUMED) | TRIED[name]
    bow, (given, start) = asked(record), start_of(record)
    listed = parameters(given, start)
    free = [each for each in listed if is_free(each)]
    assert {*FREE_ALWAYS, "upper_taper", "lower_flush_angle"} <= {each.name for each in free}
    assert ("fulcrum_arm" in {each.name for each in free}) is (base == "nothing measured")
    held = []
    for each in listed:
        if is_free(each) or each.name == "stretch":
            continue
        ends = [off(moved(bow.setup, each.name, by * each.half)) for by in (0.1, -0.1)]
        held.append((ends[0] - ends[1]) / 0.2)
    u = math.hypot(*held) / math.sqrt(3)

    def rows(parts: Numbers) -> Numbers:
        return np.array([off(with_parts(start, free, parts)) / u, *parts])

    solved = least_squares(rows, np.zeros(len(free)), diff_step=1e-3, xtol=1e-10, ftol=1e-12)
    found = with_parts(start, free, solved.x)
    size = float(np.abs(solved.x).max())
    assert size > 0.05
    half = {each.name: each.half / math.sqrt(3) for each in free}
    for name in half.keys() & {field.name for field in fields(Setup)}:
        assert getattr(bow.setup, name) == pytest.approx(getattr(found, name), abs=0.02 * size * half[name]), name
    for place, bolt in enumerate(("upper", "lower")):
        for kind in asdict(found.individual[0]):
            room = 0.02 * size * half.get(f"{bolt}_{kind}", 0.0)
            mine, theirs = (getattr(one.individual[place], kind) for one in (bow.setup, found))
            assert mine == pytest.approx(theirs, abs=room), (bolt, kind)
        for kind, length in asdict(found.pockets[place]).items():
            assert getattr(bow.setup.pockets[place], kind) == pytest.approx(length, abs=0.02 * size * MM), kind
    assert off(bow.setup) == pytest.approx(off(found), abs=0.02 * abs(off(start)))
    assert abs(off(bow.setup)) < abs(off(start))


@pytest.mark.long
@pytest.mark.parametrize("step", [1, 0.2])
def test_an_effect_is_that_of_the_whole_search_anew(step: float) -> None:
    """Each number a tenth of its half-width either way before anything is learned; then what a turn does to tiller.

    The reading is as the bow has it: how derivatives change with a surprise is what a Gauss-Newton step leaves out.
    """
    plain = asked(MEASURED).setup
    seen = strung(plain, (plain.now[0] - 1, plain.now[1])).belly_tiller / MM
    record = MEASURED | {"upper_tried_tiller": 177 + seen, "lower_tried_tiller": 177, "tape_step": step}
    bow, (given, start) = asked(record), start_of(record)

    def by_turn(setup: Setup) -> Numbers:
        there = most_probable(given, setup)
        assert isinstance(there, Setup)
        here = strung(there, there.now).belly_tiller
        turned = [(there.now[0] - 0.25, there.now[1]), (there.now[0], there.now[1] - 0.25)]
        return np.array([(strung(there, each).belly_tiller - here) / -0.25 for each in turned])

    effects = {each.parameter.name: each for each in effects_of(uncertainty_of(bow))}
    total = math.hypot(*(each.by.upper.tiller for each in effects.values()))
    assert by_turn(start) == pytest.approx(
        [getattr(uncertainty_of(bow).response, bolt).tiller for bolt in BOLTS], rel=2e-3
    )
    for each in parameters(given, start):
        if each.name == "stretch":
            continue
        ends = [by_turn(moved(start, each.name, by * each.half)) for by in (0.1, -0.1)]
        expected = (ends[0] - ends[1]) / 0.2
        found = [getattr(effects[each.name].by, bolt).tiller for bolt in BOLTS]
        assert found == pytest.approx(list(expected), abs=0.05 * total), each.name
