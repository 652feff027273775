"""The virtual environment in .made/venv: made when missing, left alone when it is as it should be.

Needs Python 3.11 and nothing else. The packages are those of requirements/site.txt or requirements/check.txt, each
with the hashes of its files. To renew both after a change to the .in files (uv is a package on PyPI; add --upgrade
for newer versions):

    cd build_scripts/requirements
    for name in site check; do
        uv pip compile --no-config --universal --python-version 3.11 --fork-strategy fewest --generate-hashes \
            --no-emit-index-url --no-header $name.in -o $name.txt
    done
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import venv
from typing import TYPE_CHECKING, Literal

from places import BUILD_SCRIPTS, CALC, VENV, fingerprint, only_one, tell, write_whole

if TYPE_CHECKING:
    from pathlib import Path

Level = Literal["site", "check"]

PYTHON = VENV / "bin" / "python"
STAMP = VENV / "made-of.json"
REQUIREMENTS = BUILD_SCRIPTS / "requirements"
# A reader's own settings for pip may say where packages come from, but not where they go; and what was compiled once
# is kept, or the tests of every worker are compiled again at every run.
FOREIGN = (
    *("PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_REQUIREMENT", "PIP_CONSTRAINT"),
    *("PIP_NO_BINARY", "PIP_NO_DEPS", "PIP_DRY_RUN", "PYTHONPATH", "PYTHONHOME", "PYTHONSTARTUP"),
    "PYTHONDONTWRITEBYTECODE",
)


class SetUpError(Exception):
    """The environment could not be made; the text says what to do."""


def clean_environment() -> dict[str, str]:
    """The environment variables for a process inside the virtual environment."""
    kept = {name: value for name, value in os.environ.items() if name not in FOREIGN}
    return {**kept, "PIP_DISABLE_PIP_VERSION_CHECK": "1", "VIRTUAL_ENV": str(VENV)}


def venv_version() -> str:
    """The version of the environment's Python, "3.11" say; empty if it does not run."""
    words = [str(PYTHON), "-I", "-c", "import sys; print('%d.%d' % sys.version_info[:2])"]
    try:
        return subprocess.run(words, capture_output=True, text=True, check=True).stdout.strip()
    except (OSError, subprocess.CalledProcessError):
        return ""


def stamp_for(level: Level, version: str) -> dict[str, str]:
    """What the stamp says when the environment holds `level` for this version of Python."""
    requirements = [REQUIREMENTS / "site.txt", REQUIREMENTS / "check.txt"]
    return {"level": level, "made of": fingerprint(requirements, version)}


def held_level() -> Level | None:
    """What the environment holds; None if it is missing, unfinished, broken or of another time."""
    try:
        stamp = json.loads(STAMP.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    version = venv_version()
    levels: tuple[Level, Level] = ("check", "site")
    return next((level for level in levels if version and stamp == stamp_for(level, version)), None)


def make_ready(level: Level) -> Path:
    """Make sure that .made/venv holds the packages of `level`; return its Python.

    A second call finds the stamp and touches nothing. The stamp is taken away before any change and written last,
    so a set-up that was interrupted starts anew at the next call. `check` includes all of `site`.

    Raises SetUpError if the packages could not be had.
    """
    with only_one("venv") as lock:
        held = held_level()
        if held in (level, "check"):
            return PYTHON
        STAMP.unlink(missing_ok=True)
        if held is None:
            tell(f"Making a virtual environment with Python {sys.version.split()[0]}.")
            _make_empty()
        tell("Fetching the Python packages (some minutes the first time).")
        _install(level, lock)
        write_whole(STAMP, json.dumps(stamp_for(level, venv_version())))
    return PYTHON


def _make_empty() -> None:
    shutil.rmtree(VENV, ignore_errors=True)
    try:
        venv.create(VENV, with_pip=True, symlinks=True)
    except (OSError, subprocess.CalledProcessError) as error:
        raise SetUpError(f"The virtual environment could not be made: {error}.") from error
    packages = next(VENV.glob("lib/python3*/site-packages"))
    # Relative, so that the project can be moved: site.py reads it from the folder that the file is in.
    (packages / "quarterturn.pth").write_text(os.path.relpath(CALC, packages) + "\n", encoding="utf-8")


def _install(level: Level, lock: int) -> None:
    words = [str(PYTHON), "-m", "pip", "install", "--quiet", "--no-input", "--require-hashes", "--no-deps"]
    words += ["--only-binary=:all:", "-r", str(REQUIREMENTS / f"{level}.txt")]
    done = subprocess.run(words, env=clean_environment(), stdin=subprocess.DEVNULL, pass_fds=(lock,))
    if done.returncode != 0:
        raise SetUpError(
            "The packages could not be installed; what pip says above tells why (often: no network). "
            "Nothing half made is used: run the same command again."
        )
