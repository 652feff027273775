"""The package as a wheel, which the site carries for notebooks and for pip; the same files make the same bytes."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

import quarterturn
from places import CALC

if TYPE_CHECKING:
    from pathlib import Path

FOLDER = "wheel"
"""Where it lies in the site."""
NAME = f"quarterturn-{quarterturn.__version__}-py3-none-any.whl"
DAY_OF_ALL_FILES = "1577836800"  # 2020-01-01, so that two builds are the same
BUILD = "import sys, flit_core.buildapi; print(flit_core.buildapi.build_wheel(sys.argv[1]))"


class WheelError(Exception):
    """The wheel could not be built; the text is what the backend says."""


def build(folder: Path) -> Path:
    """Build the wheel into a folder; return its path.

    Raises:
        WheelError: the backend refuses.
    """
    folder.mkdir(parents=True, exist_ok=True)
    done = subprocess.run(
        [sys.executable, "-c", BUILD, str(folder)],
        cwd=CALC,
        env={**os.environ, "SOURCE_DATE_EPOCH": DAY_OF_ALL_FILES},
        capture_output=True,
        text=True,
    )
    if done.returncode != 0:
        raise WheelError(done.stderr)
    return folder / done.stdout.split()[-1]
