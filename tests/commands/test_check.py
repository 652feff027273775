"""The checking command: every check runs, and one that fails makes the whole fail."""

from __future__ import annotations

from pathlib import Path

import pytest

import check
from environment import SetUpError


@pytest.fixture
def ran(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, ...]]:
    """What the command ran, in order; ruff fails."""
    done: list[tuple[str, ...]] = []

    def run(_python: Path, words: tuple[str, ...]) -> bool:
        done.append(words)
        return words[0] != "ruff"

    monkeypatch.setattr(check, "make_ready", lambda _level: Path("python"))
    monkeypatch.setattr(check, "run_check", run)
    return done


def test_an_early_failure_hides_nothing_and_counts(ran: list[tuple[str, ...]]) -> None:
    assert check.main(["-k", "pocket"]) == 1
    assert [words[0] for words in ran] == ["ruff", "mypy", "pytest"]
    assert ran[-1][-2:] == ("-k", "pocket")


@pytest.mark.usefixtures("ran")
def test_all_well_is_zero(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check, "run_check", lambda _python, _words: True)
    assert check.main([]) == 0


def test_no_environment_no_checks(ran: list[tuple[str, ...]], monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_level: str) -> Path:
        raise SetUpError("No network.")

    monkeypatch.setattr(check, "make_ready", fail)
    assert check.main([]) == 1
    assert ran == []


@pytest.mark.parametrize(("code", "passed"), [("pass", True), ("raise SystemExit(3)", False)])
def test_the_tools_exit_code_is_what_counts(tmp_path: Path, code: str, passed: bool) -> None:
    module = tmp_path / "python"
    module.write_text(f"#!/bin/sh\n[ $1 = -m ] && [ $2 = ruff ] || exit 9\nexec python3 -c '{code}'\n")
    module.chmod(0o755)
    assert check.run_check(module, ("ruff", "check")) is passed
