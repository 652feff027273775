"""The table of parameters by outcomes: sums by NumPy (C), and outcomes whose derivatives are known by hand (C)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.asking import COMPLETE, STRUNG, values
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_numbers import INDIVIDUAL, Parameter
from quarterturn.bench.sensitivities import PerturbedBow, Row, Sensitivities, perturbed, prior_sensitivities
from quarterturn.mechanics.bow import BowError

NUMBERS = st.lists(st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=3), min_size=1, max_size=6)


def table(rows: list[list[float]]) -> Sensitivities:
    named = tuple(Parameter(f"number {at}", 0.0, 0.5 + at, "measured") for at in range(len(rows)))
    return Sensitivities((1.0, 2.0, 3.0), named, tuple(map(tuple, rows)))


@given(NUMBERS, st.tuples(st.floats(-5, 5), st.floats(-5, 5), st.floats(-5, 5)))
def test_uncertainties_of_numpy(rows: list[list[float]], by: tuple[float, float, float]) -> None:
    """Each row is a half-width: variance over 3 (GUM 4.3.7), independent of the others (5.1.2)."""
    found, covariance = table(rows), np.array(rows).T @ np.array(rows) / 3
    for at in range(3):
        assert found.standard(at) == pytest.approx(math.sqrt(covariance[at, at]), rel=1e-9, abs=1e-12)
    budget = found.budget(lambda row: sum(each * part for each, part in zip(row, by, strict=True)))
    assert budget.combined == pytest.approx(math.sqrt(max(0.0, np.array(by) @ covariance @ by)), rel=1e-6, abs=1e-6)
    assert [each.name for each in budget.contributions] == [each.name for each in found.parameters]


def test_a_table_with_more_parameters() -> None:
    found = table([[1, 2, 3], [4, 5, 6]])
    more = Parameter("more", 0.0, 1.0, "computed")
    after, before = found.and_of([more], [(7.0, 8.0, 9.0)]), found.and_of([more], [(7.0, 8.0, 9.0)], first=True)
    assert [each.name for each in after.parameters] == ["number 0", "number 1", "more"]
    assert [each.name for each in before.parameters] == ["more", "number 0", "number 1"]
    assert after.rows == ((1, 2, 3), (4, 5, 6), (7, 8, 9))
    assert before.rows == ((7, 8, 9), (1, 2, 3), (4, 5, 6))
    assert after.outcomes == before.outcomes == found.outcomes


@pytest.fixture(scope="module")
def bow() -> BowInputs:
    return bow_inputs(values(COMPLETE | STRUNG))


def numbers(one: PerturbedBow) -> Row:
    """Three numbers of the setup, of which each parameter's derivative is known: 1, 0, and 1 for either limb's own."""
    setup = one.setup
    return setup.brace_height, 3 * setup.string_length, sum(own.taper for own in setup.individual)


def test_known_derivatives_are_found(bow: BowInputs) -> None:
    found = prior_sensitivities(bow.setup, bow.parameters, numbers)
    assert found.outcomes == (bow.setup.brace_height, 3 * bow.setup.string_length, 0)
    halves = {each.name: each.half for each in bow.parameters}
    expected: dict[str, Row] = {
        "brace_height": (halves["brace_height"], 0, 0),
        "string_length": (0, 3 * halves["string_length"], 0),
    }
    expected |= {"upper_taper": (0, 0, halves["upper_taper"]), "lower_taper": (0, 0, halves["lower_taper"])}
    expected["taper"] = (0, 0, 2 * halves["taper"])  # both limbs' own, the one after the other
    assert "taper" in INDIVIDUAL
    for parameter, row in zip(found.parameters, found.rows, strict=True):
        assert row == pytest.approx(expected.get(parameter.name, (0, 0, 0)), rel=1e-6, abs=1e-12), parameter.name
    assert found.parameters == bow.parameters


def test_a_parameter_without_an_outcome_is_left_out_with_all_that_it_is_a_part_of(bow: BowInputs) -> None:
    def outcomes(one: PerturbedBow) -> Row:
        if one.name in ("rise", "upper_taper"):
            raise BowError("draw", "No such bow.")
        return numbers(one)

    found = prior_sensitivities(bow.setup, bow.parameters, outcomes)
    left_out = {each.name for each in bow.parameters} - {each.name for each in found.parameters}
    assert left_out == {"rise", "upper_taper", "taper"}


def test_no_outcome_of_the_bow_as_it_is_is_told(bow: BowInputs) -> None:
    def outcomes(one: PerturbedBow) -> Row:
        raise BowError("draw", f"No such bow: {one.name}.")

    with pytest.raises(BowError, match=r"No such bow: \."):
        prior_sensitivities(bow.setup, bow.parameters, outcomes)


def test_each_number_is_moved_by_a_small_part_of_the_widest_half_it_has_a_part_in(bow: BowInputs) -> None:
    base, others = perturbed(bow.setup, bow.parameters)
    assert (base.name, base.by, base.setup) == ("", 0.0, bow.setup)
    halves = {each.name: each.half for each in bow.parameters}
    for one in others:
        kind = one.name.partition("_")[2]
        half = max(halves.get(one.name, 0.0), halves.get(kind, 0.0) if kind in INDIVIDUAL else 0.0)
        assert one.by == pytest.approx(2e-4 * half)
