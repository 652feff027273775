"""Builds the site into .made/site, unless what lies there was made from the very same files.

Run by the environment's Python, from the commands (`python site_build.py`) or from the tests (`build_site`). With a
club's file and a folder (`python site_build.py CLUB.toml FOLDER`) it builds that club's site there, always anew, and
leaves .made/site alone.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import compiled_wheel
import runtime
from club import VARIABLE
from npm_package import PackageError
from places import BUILD_SCRIPTS, CALC, MADE, ROOT, SITE, files_under, fingerprint, only_one, tell, write_whole

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
        _run_mkdocs(lock, NEXT)
        _put_in_place(NEXT, SITE)
        write_whole(STAMP, f"{sources} {site_mark()}")
    return SITE


def build_club_site(club: Path, folder: Path) -> None:
    """Build the site of a club whose file was found to be good, into a folder; what lies there is replaced.

    The new site takes the old one's place only when it is whole. Raises SiteBuildError if a step fails.
    """
    part = folder.with_name(f"{folder.name}.part")
    with only_one("published") as lock:
        tell("Building the club's site.")
        runtime.build()
        _run_mkdocs(lock, part, club)
        _put_in_place(part, folder)


def _read_stamp() -> str:
    try:
        return STAMP.read_text(encoding="utf-8")
    except OSError:
        return ""


def _run_mkdocs(lock: int, into: Path, club: Path | None = None) -> None:
    shutil.rmtree(into, ignore_errors=True)
    words = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--strict", "--site-dir", str(into)]
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", VARIABLE: "" if club is None else str(club)}
    done = subprocess.run(words, cwd=ROOT, env=environment, pass_fds=(lock,))
    if done.returncode != 0:
        raise SiteBuildError("The site could not be built; what mkdocs says above tells why.")


def _put_in_place(new: Path, place: Path) -> None:
    old = place.with_name(f"{place.name}-old")
    shutil.rmtree(old, ignore_errors=True)
    if place.exists():
        place.rename(old)
    new.rename(place)
    shutil.rmtree(old, ignore_errors=True)


if __name__ == "__main__":
    try:
        if sys.argv[1:]:
            build_club_site(*(Path(word).resolve() for word in sys.argv[1:]))
        else:
            build_site()
    except (SiteBuildError, PackageError) as error:
        sys.exit(str(error))
