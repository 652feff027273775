"""The modules that need no page, each file under Node's own test runner (`node --test FILE`)."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers.node_modules import run_tests

FILES = sorted(Path(__file__).parent.glob("*.test.mjs"))


def test_there_are_files() -> None:
    assert FILES


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name.removesuffix(".test.mjs"))
def test_every_test_of_the_file_passes(file: Path) -> None:
    failed = run_tests(file)
    assert not failed, failed
