"""The checking command: every check runs, and one that fails makes the whole fail."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import check
from conftest import LONG, TOGETHER
from environment import SetUpError
from places import BUILD_SCRIPTS, ROOT

Words = tuple[str, ...]


@pytest.fixture
def ran(monkeypatch: pytest.MonkeyPatch) -> list[Words]:
    """What the command ran; ruff fails."""
    done: list[Words] = []

    def run(_python: Path, words: Words) -> bool:
        done.append(words)
        return words[0] != "ruff"

    monkeypatch.setattr(check, "make_ready", lambda _level: Path("python"))
    monkeypatch.setattr(check, "run_check", run)
    monkeypatch.setattr(check, "run_beside", run)
    return done


def test_one_failure_hides_nothing_and_counts(ran: list[Words], capsys: pytest.CaptureFixture[str]) -> None:
    assert check.main(["-k", "pocket"]) == 1
    assert sorted(words[0] for words in ran) == ["javascript", "mypy", "pytest", "ruff"]
    (words,) = [words for words in ran if words[0] == "pytest"]
    assert words[-2:] == ("-k", "pocket")
    assert capsys.readouterr().err == "Failed: ruff.\n"


@pytest.mark.parametrize("fails", ["pytest", "mypy", "javascript"])
def test_any_of_them_fails_the_whole(ran: list[Words], monkeypatch: pytest.MonkeyPatch, fails: str) -> None:
    def run(_python: Path, words: Words) -> bool:
        ran.append(words)
        return words[0] != fails

    monkeypatch.setattr(check, "run_check", run)
    monkeypatch.setattr(check, "run_beside", run)
    assert check.main([]) == 1
    assert len(ran) == 1 + len(check.BESIDE_PYTEST)


@pytest.mark.usefixtures("ran")
def test_all_well_is_zero(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("run_check", "run_beside"):
        monkeypatch.setattr(check, name, lambda _python, _words: True)
    assert check.main([]) == 0


def test_no_environment_no_checks(ran: list[Words], monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_level: str) -> Path:
        raise SetUpError("No network.")

    monkeypatch.setattr(check, "make_ready", fail)
    assert check.main([]) == 1
    assert ran == []


@pytest.mark.parametrize(("code", "passed"), [("print('said')", True), ("raise SystemExit('said')", False)])
def test_the_tools_exit_code_is_what_counts(
    tmp_path: Path, code: str, passed: bool, capfd: pytest.CaptureFixture[str]
) -> None:
    module = tmp_path / "python"
    module.write_text(f'#!/bin/sh\n[ $1 = -m ] && [ $2 = ruff ] || exit 9\nexec python3 -c "{code}"\n')
    module.chmod(0o755)
    for run in (check.run_check, check.run_beside):
        assert run(module, ("ruff", "check")) is passed
        said = capfd.readouterr()
        assert "== ruff check\n" in said.err
        assert "said\n" in said.out + said.err


def test_a_script_of_the_projects_own_is_run_by_its_path() -> None:
    words = [str(BUILD_SCRIPTS / "javascript.py"), "types"]
    assert check.command(Path("python"), ("javascript", "types")) == ["python", *words]


def test_the_long_files_are_there_and_begun_first() -> None:
    """A file that is renamed would else go to the end unnoticed."""
    words = ["pytest", "-n", "0", "--collect-only", *(f"tests/{name}" for name in LONG[::-1])]
    done = subprocess.run([sys.executable, "-m", *words], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[-2000:]
    files = [line.partition("::")[0].removeprefix("tests/") for line in done.stdout.splitlines() if "::" in line]
    assert list(dict.fromkeys(files)) == list(LONG)
    assert [name for name in TOGETHER if not (ROOT / "tests" / name).is_file()] == []
