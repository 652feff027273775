"""Sets up what is missing and runs every check, all of them even if an early one fails (see README.md)."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

from environment import SetUpError, clean_environment, make_ready
from places import BUILD_SCRIPTS, ROOT, tell

if TYPE_CHECKING:
    from pathlib import Path

    Words = tuple[str, ...]

# These run one after the other beside pytest, which is longer than all of them and alone does not fill the processors.
BESIDE_PYTEST: tuple[Words, ...] = (("ruff", "check", "."), ("mypy",), ("javascript",))
# A file at a time, and twice as many at once as there are processors, for a browser's test waits half of its time; six
# at most, for each has its own browser; in the order of tests/conftest.py, the long files first.
PROCESSORS = os.cpu_count() or 1
AT_ONCE = min(6, 2 * PROCESSORS)
PYTEST: Words = ("pytest", "--dist", "loadfile", "--no-loadscope-reorder", "--durations", "10")
QUICK = "--quick"


def command(python: Path, words: Words) -> list[str]:
    """The command of a check: a script of the project's own, or a module of the environment."""
    own = BUILD_SCRIPTS / f"{words[0]}.py"
    return [str(python), str(own), *words[1:]] if own.is_file() else [str(python), "-m", *words]


def run_check(python: Path, words: Words) -> bool:
    """Run one check with the environment's Python; tell whether it passed."""
    tell(f"== {' '.join(words)}")
    return subprocess.run(command(python, words), cwd=ROOT, env=clean_environment()).returncode == 0


def run_beside(python: Path, words: Words) -> bool:
    """Run one check and tell what it said once it has ended, in one piece; tell whether it passed."""
    done = subprocess.run(
        command(python, words),
        cwd=ROOT,
        env=clean_environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    tell(f"\n== {' '.join(words)}\n{done.stdout}")
    return done.returncode == 0


def main(for_pytest: list[str]) -> int:
    """Run the command; return its exit code. With `--quick` pytest runs the package's own tests only, no long ones."""
    try:
        python = make_ready("check")
    except SetUpError as error:
        tell(str(error))
        return 1
    with ThreadPoolExecutor(max_workers=1) as beside:
        others = [beside.submit(run_beside, python, words) for words in BESIDE_PYTEST]
        at_once = PROCESSORS if QUICK in for_pytest else AT_ONCE
        passed = {"pytest": run_check(python, (*PYTEST, "-n", str(at_once), *for_pytest))}
        passed |= {words[0]: other.result() for words, other in zip(BESIDE_PYTEST, others, strict=True)}
    failed = [name for name, good in passed.items() if not good]
    if failed:
        tell(f"Failed: {', '.join(failed)}.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
