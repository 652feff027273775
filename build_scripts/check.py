"""Sets up what is missing and runs every check, all of them even if an early one fails (see README.md)."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

from environment import SetUpError, clean_environment, make_ready
from places import ROOT, tell

if TYPE_CHECKING:
    from pathlib import Path

# pytest comes last, so that its summary is the last one printed. It runs a file at a time, one file more at once than
# there are processors, for a browser's test waits half of its time, and four at most, for each has its own browser; in
# their order, for the long ones are not those with the most tests.
AT_ONCE = min(4, (os.cpu_count() or 1) + 1)
FOR_PYTEST = ("-n", str(AT_ONCE), "--dist", "loadfile", "--no-loadscope-reorder")
CHECKS = (("ruff", "check", "."), ("mypy",), ("pytest", *FOR_PYTEST))


def run_check(python: Path, words: tuple[str, ...]) -> bool:
    """Run one check with the environment's Python; tell whether it passed."""
    tell(f"== {' '.join(words)}")
    return subprocess.run([str(python), "-m", *words], cwd=ROOT, env=clean_environment()).returncode == 0


def main(for_pytest: list[str]) -> int:
    """Run the command; return its exit code."""
    try:
        python = make_ready("check")
    except SetUpError as error:
        tell(str(error))
        return 1
    commands = [*CHECKS[:-1], (*CHECKS[-1], *for_pytest)]
    failed = [words[0] for words in commands if not run_check(python, words)]
    if failed:
        tell(f"Failed: {', '.join(failed)}.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
