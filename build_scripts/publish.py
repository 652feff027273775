"""Writes a club's own site as a folder for any web host, and says what to set there (see README.md).

It ends with 2 where the club's file or a place to write to cannot be used: a sentence says of each why. The words on
the host are those of the page docs/publish.md; the headers are those that the built site lists.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import zipfile
from pathlib import Path

from club import ClubFileError, read
from environment import SetUpError, clean_environment, make_ready
from places import BUILD_SCRIPTS, MADE, ROOT, files_under, tell

PUBLISHED = MADE / "published"
PAGE = ROOT / "docs" / "publish.md"
OF_A_SITE = ("_headers", "front-page.json", "sw.js")
"""What a folder holds that this command may replace."""
FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The day that every file in a zip has: the earliest that one can."""


def read_words(arguments: list[str]) -> argparse.Namespace:
    """Read the command's arguments: `club`, `out` and `zip`."""
    parser = argparse.ArgumentParser(prog="publish", description="Write a club's own site for any web host.")
    parser.add_argument("club", type=Path, help="the club's file; build_scripts/club.example.toml is one to begin with")
    parser.add_argument("--out", type=Path, default=PUBLISHED, help="the folder to write (default .made/published)")
    parser.add_argument("--zip", action="store_true", help="pack it too, as a zip beside the folder")
    return parser.parse_args(arguments)


def place_problem(folder: Path) -> str | None:
    """Why this folder cannot be written, in a sentence; None where it can. Only an older such site is replaced."""
    if folder.is_relative_to(ROOT) and folder.parent != MADE:
        return f"--out {folder} lies among the project's own files; name a folder outside of them."
    if ROOT.is_relative_to(folder):
        return f"--out {folder} holds the project itself; name a folder of its own."
    if folder.parent == MADE and not folder.name.startswith(PUBLISHED.name):
        return f"--out {folder}: in .made/ the folder's name must begin with {PUBLISHED.name}."
    if folder.exists() and not folder.is_dir():
        return f"--out {folder} is a file; name a folder."
    if folder.is_dir() and any(folder.iterdir()) and not all((folder / name).is_file() for name in OF_A_SITE):
        return f"--out {folder} holds other files, which are left alone; name a new folder or an empty one."
    return None


def zip_of(folder: Path) -> Path:
    """The place of a folder's zip."""
    return folder.with_name(f"{folder.name}.zip")


def write_zip(folder: Path) -> Path:
    """Pack a folder, its files at the top and in order, with one day for all: the same files give the same zip."""
    file = zip_of(folder)
    part = file.with_name(f"{file.name}.part")
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed:
        for path in files_under(folder):
            entry = zipfile.ZipInfo(path.relative_to(folder).as_posix(), FIRST_DAY)
            entry.create_system, entry.external_attr = 3, 0o644 << 16
            entry.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(entry, path.read_bytes(), compresslevel=9)
    part.replace(file)
    return file


def words_on_the_host() -> list[str]:
    """What to set at a host: the items of the page's section, as plain text."""
    section = re.search(r"(?ms)^## .*?\{ #host \}$(.*?)(?=^## |\Z)", PAGE.read_text(encoding="utf-8"))
    items = re.findall(r"(?m)^- (.+(?:\n  .+)*)", section[1]) if section else []
    bare = (re.sub(r"\[([^\]]*)\]\([^)]*\)|\*\*|`", r"\1", item) for item in items)
    return [" ".join(item.split()) for item in bare]


def told(folder: Path, packed: Path | None) -> str:
    """All that is said once the site is written."""
    headers = (folder / "_headers").read_text(encoding="utf-8")
    lines = [f"The site is in {folder}" + (f", and packed in {packed}." if packed else "."), "", "At the host:"]
    lines += [f"- {item}" for item in words_on_the_host()]
    return "\n".join([*lines, "", "The headers, as in _headers:", headers])


def main(arguments: list[str]) -> int:
    """Run the command; return its exit code."""
    words = read_words(arguments)
    folder = words.out.resolve()
    problems = [problem] if (problem := place_problem(folder)) else []
    if words.zip and zip_of(folder).is_dir():
        problems.append(f"--zip: {zip_of(folder)} is a folder, and the zip would lie there; name another --out.")
    try:
        read(words.club)
    except ClubFileError as error:
        problems += error.problems
    if problems:
        tell("\n".join(problems))
        return 2
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        python = make_ready("site")
        build = [str(python), str(BUILD_SCRIPTS / "site_build.py"), str(words.club), str(folder)]
        if subprocess.run(build, env=clean_environment()).returncode != 0:
            return 1
        print(told(folder, write_zip(folder) if words.zip else None))
    except (SetUpError, OSError) as error:
        tell(str(error))
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
