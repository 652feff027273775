"""The examples that Hypothesis draws do not depend on which tests are chosen (see helpers/same_examples.py)."""

from __future__ import annotations

import subprocess
import sys

import pytest

from places import BUILD_SCRIPTS, CALC, ROOT

pytestmark = pytest.mark.long

DRAW = """
import sys
sys.path[:0] = sys.argv[2:]
from hypothesis import given, settings, strategies

from helpers.same_examples import draw_from_the_whole_package

if "policy" in sys.argv[1]:
    import policy
if "settled" in sys.argv[1]:
    draw_from_the_whole_package()
if "forms" in sys.argv[1]:
    import forms

@settings(derandomize=True, max_examples=300, database=None)
@given(strategies.integers(-10, 10000), strategies.text(max_size=30), strategies.floats(0, 40))
def example(number, words, length):
    print(ascii((number, words, length)))

example()
"""


def examples(words: str) -> str:
    """What is drawn in a fresh process in which other modules are loaded, before and after it is settled."""
    folders = [str(CALC), str(BUILD_SCRIPTS), str(ROOT / "tests")]
    words_ = [sys.executable, "-c", DRAW, words, *folders]
    return subprocess.run(words_, capture_output=True, text=True, check=True, cwd=ROOT).stdout


@pytest.fixture(scope="module")
def settled() -> str:
    return examples("settled")


@pytest.mark.parametrize("loaded", ["policy", "forms", "policy and forms"])
def test_what_else_is_loaded_changes_no_example(settled: str, loaded: str) -> None:
    assert len(settled.splitlines()) == 300
    assert examples(f"settled {loaded}") == settled


def test_left_alone_it_would() -> None:
    assert examples("policy") != examples("policy and forms")
