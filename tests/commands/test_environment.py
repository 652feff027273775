"""The virtual environment: what counts as ready, what an interruption leaves, and what is asked of the packages."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

import environment
import places
from environment import Level, SetUpError, held_level, make_ready, stamp_for

REQUIREMENTS = places.BUILD_SCRIPTS / "requirements"


@pytest.fixture
def venv(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An environment of the test's own whose Python is the one that runs the test."""
    folder = tmp_path / "venv"
    (folder / "bin").mkdir(parents=True)
    (folder / "bin" / "python").symlink_to(sys.executable)
    monkeypatch.setattr(places, "MADE", tmp_path)
    monkeypatch.setattr(environment, "VENV", folder)
    monkeypatch.setattr(environment, "PYTHON", folder / "bin" / "python")
    monkeypatch.setattr(environment, "STAMP", folder / "made-of.json")
    return folder


def write_stamp(level: Level) -> None:
    environment.STAMP.write_text(json.dumps(stamp_for(level, environment.venv_version())))


@pytest.fixture
def installs(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was installed, in order; nothing is installed for real."""
    done: list[str] = []
    monkeypatch.setattr(environment, "_install", lambda level, _lock: done.append(level))
    monkeypatch.setattr(environment, "_make_empty", lambda: done.append("empty"))
    return done


def test_a_second_call_installs_nothing(venv: Path, installs: list[str]) -> None:
    assert make_ready("check") == venv / "bin" / "python"
    assert installs == ["empty", "check"]
    make_ready("check")
    make_ready("site")
    assert installs == ["empty", "check"]


@pytest.mark.usefixtures("venv")
def test_the_checks_add_to_what_serving_needs(installs: list[str]) -> None:
    make_ready("site")
    make_ready("check")
    assert installs == ["empty", "site", "check"]


@pytest.mark.usefixtures("venv")
def test_an_interrupted_set_up_starts_anew(installs: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    make_ready("site")

    def interrupted(_level: Level, _lock: int) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(environment, "_install", interrupted)
        with pytest.raises(KeyboardInterrupt):
            make_ready("check")
    assert held_level() is None
    make_ready("site")
    assert installs == ["empty", "site", "empty", "site"]


@pytest.mark.usefixtures("venv")
def test_a_changed_requirement_or_a_damaged_stamp_makes_it_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_stamp("check")
    assert held_level() == "check"
    environment.STAMP.write_text("{")
    assert held_level() is None
    write_stamp("check")
    for name in ("site.txt", "check.txt"):
        (tmp_path / name).write_text("other==1 --hash=sha256:00\n")
    monkeypatch.setattr(environment, "REQUIREMENTS", tmp_path)
    monkeypatch.setattr(places, "ROOT", tmp_path)
    assert held_level() is None


def test_another_python_makes_it_anew(venv: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_stamp("check")
    with monkeypatch.context() as patch:
        patch.setattr(environment, "venv_version", lambda: "3.99")
        assert held_level() is None
    assert held_level() == "check"
    (venv / "bin" / "python").unlink()
    assert held_level() is None


@pytest.mark.usefixtures("venv")
def test_packages_that_cannot_be_had_end_in_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(environment, "_make_empty", lambda: None)
    monkeypatch.setattr(environment, "PYTHON", Path("/bin/false"))
    with pytest.raises(SetUpError, match="run the same command again"):
        make_ready("site")
    assert not environment.STAMP.exists()


def test_one_at_a_time(tmp_path: Path) -> None:
    """Three processes add to one file, each in two halves with a pause between: no halves are mixed."""
    out = tmp_path / "out"
    work = (
        "import pathlib, sys, time, places\n"
        "places.MADE = pathlib.Path(sys.argv[1]).parent\n"
        "with places.only_one('test'):\n"
        "    for half in (sys.argv[2], sys.argv[2] + ' '):\n"
        "        with open(sys.argv[1], 'a') as file: file.write(half)\n"
        "        time.sleep(0.2)\n"
    )
    command = [sys.executable, "-c", work, str(out)]
    running = [subprocess.Popen([*command, name], cwd=places.BUILD_SCRIPTS) for name in "abc"]
    assert [process.wait(30) for process in running] == [0, 0, 0]
    assert sorted(out.read_text().split()) == ["aa", "bb", "cc"]


def test_a_child_that_outlives_its_parent_keeps_the_others_waiting(tmp_path: Path) -> None:
    """The parent starts a child that writes after a second, and ends at once; the next one reads what it wrote."""
    out = tmp_path / "out"
    start = "import os, pathlib, subprocess, sys, places\nplaces.MADE = pathlib.Path(sys.argv[1]).parent\n"
    first = (
        "with places.only_one('test') as lock:\n"
        "    subprocess.Popen(['sh', '-c', 'sleep 1; echo written > \"$1\"', 'sh', sys.argv[1]], pass_fds=(lock,))\n"
        "    os._exit(9)\n"
    )
    then = "with places.only_one('test'): print(pathlib.Path(sys.argv[1]).read_text())\n"
    ended = subprocess.run([sys.executable, "-c", start + first, str(out)], cwd=places.BUILD_SCRIPTS)
    assert ended.returncode == 9
    command = [sys.executable, "-c", start + then, str(out)]
    done = subprocess.run(command, cwd=places.BUILD_SCRIPTS, capture_output=True, text=True, timeout=30)
    assert done.stdout.strip() == "written", done.stderr


def pins(name: str) -> dict[str, list[str]]:
    """Read a requirement file: package and version to its hashes."""
    text = (REQUIREMENTS / name).read_text().replace("\\\n", " ")
    lines = [line.split("#")[0].split() for line in text.splitlines() if line and not line.lstrip().startswith("#")]
    return {words[0]: [word for word in words if word.startswith("--hash=sha256:")] for words in lines}


def test_every_package_is_pinned_with_hashes_and_no_host_is_named() -> None:
    for name in ("site.txt", "check.txt"):
        found = pins(name)
        assert len(found) > 20
        assert all(re.fullmatch(r"[a-z0-9-]+==[0-9][^=]*", package) and hashes for package, hashes in found.items())
        assert not re.search(r"://|^-|index-url|find-links", (REQUIREMENTS / name).read_text(), re.MULTILINE)


def test_the_checks_use_the_packages_of_the_site() -> None:
    site, check = pins("site.txt"), pins("check.txt")
    assert site.items() <= check.items()
