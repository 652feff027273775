"""Where things lie: the project's folders, and the one folder that holds all that the commands make."""

from __future__ import annotations

import fcntl
import hashlib
import os
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

ROOT = Path(__file__).resolve().parent.parent
BUILD_SCRIPTS = ROOT / "build_scripts"
CALC = ROOT / "calc"
MADE = ROOT / ".made"
VENV = MADE / "venv"
SITE = MADE / "site"


def tell(sentence: str) -> None:
    """Say one line about the work under way, at once, on standard error."""
    print(sentence, file=sys.stderr, flush=True)


@contextmanager
def only_one(work: str) -> Iterator[int]:
    """Let one process at a time do `work`; the others wait. A process that dies lets go of it.

    Gives the lock's descriptor: a child that gets it (`pass_fds`) keeps the others waiting if its parent dies first.
    """
    MADE.mkdir(exist_ok=True)
    with (MADE / f"{work}.lock").open("w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            tell(f"Another run is busy with the same work ({work}); waiting for it.")
            fcntl.flock(lock, fcntl.LOCK_EX)
        yield lock.fileno()


def write_whole(path: Path, text: str) -> None:
    """Write a file so that a reader finds either the old text or the new one, never a part."""
    part = path.with_name(path.name + ".part")
    part.write_text(text, encoding="utf-8")
    part.replace(path)


def files_under(*roots: Path) -> list[Path]:
    """All files under the given files and folders, sorted, without what Python caches."""
    found: list[Path] = []
    for root in roots:
        if root.is_file():
            found.append(root)
        for folder, folders, names in os.walk(root):
            folders[:] = [name for name in folders if name != "__pycache__"]
            found.extend(Path(folder, name) for name in names)
    return sorted(found)


def fingerprint(files: Iterable[Path], *words: str) -> str:
    """SHA-256 over the names (relative to the project) and contents of files, and over some words."""
    total = hashlib.sha256()
    for word in words:
        total.update(f"{len(word)} {word}\n".encode())
    for path in files:
        content = hashlib.sha256(path.read_bytes()).hexdigest()
        total.update(f"{path.relative_to(ROOT).as_posix()} {content}\n".encode())
    return total.hexdigest()
