"""Builds the site into .made/site, unless what lies there was made from the very same files.

Run by the environment's Python, from the commands (`python site_build.py`) or from the tests (`build_site`).
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from typing import TYPE_CHECKING

import compiled_wheel
import runtime
from places import BUILD_SCRIPTS, CALC, MADE, ROOT, SITE, files_under, fingerprint, only_one, tell, write_whole

if TYPE_CHECKING:
    from pathlib import Path

STAMP = MADE / "site.made-of"
NEXT = MADE / "site-next"


class SiteBuildError(Exception):
    """The site could not be built; the text says which step failed."""


def sources_mark() -> str:
    """A mark that changes with any file that the site is made from."""
    pages = sorted(ROOT.glob("*.md"))
    files = files_under(BUILD_SCRIPTS, CALC, ROOT / "docs", ROOT / "mkdocs.yml", *pages)
    compiles = str(compiled_wheel.ENVIRONMENT.is_dir())
    return fingerprint(files, sys.version, runtime.chosen_version(), compiles)


def site_mark() -> str:
    """A mark that changes when a file of the built site does."""
    return fingerprint(files_under(SITE))


def build_site() -> Path:
    """Build .made/site from the sources if it is not that already; return its folder.

    The new site takes the old one's place only when it is whole. Raises SiteBuildError if a step fails.
    """
    with only_one("site") as lock:
        sources = sources_mark()
        if _read_stamp() == f"{sources} {site_mark()}":
            return SITE
        tell("Building the site.")
        STAMP.unlink(missing_ok=True)
        runtime.build()
        _run_mkdocs(lock)
        _put_in_place()
        write_whole(STAMP, f"{sources} {site_mark()}")
    return SITE


def _read_stamp() -> str:
    try:
        return STAMP.read_text(encoding="utf-8")
    except OSError:
        return ""


def _run_mkdocs(lock: int) -> None:
    shutil.rmtree(NEXT, ignore_errors=True)
    words = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--strict", "--site-dir", str(NEXT)]
    done = subprocess.run(words, cwd=ROOT, env={**os.environ, "NO_MKDOCS_2_WARNING": "1"}, pass_fds=(lock,))
    if done.returncode != 0:
        raise SiteBuildError("The site could not be built; what mkdocs says above tells why.")


def _put_in_place() -> None:
    old = MADE / "site-old"
    shutil.rmtree(old, ignore_errors=True)
    if SITE.exists():
        SITE.rename(old)
    NEXT.rename(SITE)
    shutil.rmtree(old, ignore_errors=True)


if __name__ == "__main__":
    try:
        build_site()
    except (SiteBuildError, runtime.RuntimeBuildError) as error:
        sys.exit(str(error))
