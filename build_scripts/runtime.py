"""The browser's Python: fetched from npm, checked, cut, compiled, and laid in one folder named by its content.

`build` returns the folder that the site serves; a second call is quick and needs no network.

    python build_scripts/runtime.py [--pyodide 314.0.7]

The environment variable ``QUARTERTURN_PYODIDE`` chooses the version too.
"""

from __future__ import annotations

import argparse
import gzip
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import borrowed
import npm_package
from npm_package import PackageError, find_node, read_json, sha256_of
from places import BUILD_SCRIPTS, CALC, MADE, only_one

WORKER = BUILD_SCRIPTS / "browser" / "worker.js"
MEMORY = BUILD_SCRIPTS / "browser" / "memory.js"
PACKAGE = CALC / "quarterturn"

PYODIDE = "0.29.5"
"""The version the site is built with.  0.29 is smaller and quicker to start than 314."""

INTEGRITY = {
    "0.29.5": "sha512-TkYrUv9m8QmfImADKRmpwZulL48E0uUaBSO+dvRQKyAJc0qh9gu7jn8btyHPh3NZm1r2IH2YrJhIr7Q2B9urAw==",
    "314.0.7": "sha512-0YvXxEhfEdpLfb/XkM2BFAeMROq0iMUX2bzzH9pOttyMcWkwq+HbE5uyuGD82LN7y2q+SNvi/6V5JEsOlD2R1A==",
}
"""What ``npm view pyodide@VERSION dist.integrity`` said on the day the version was taken in."""

VERSION_VARIABLE = "QUARTERTURN_PYODIDE"
LOADER = "pyodide.mjs"
ENGINES = ("pyodide.asm.mjs", "pyodide.asm.js")
WASM = "pyodide.asm.wasm"
STOCK_LIBRARY = "python_stdlib.zip"
STOCK_LOCK = "pyodide-lock.json"
NEEDED = (LOADER, *ENGINES, WASM, STOCK_LIBRARY, STOCK_LOCK)
PACKED = ".packed"
"""How the names of our zips end. Each is compressed as a whole (RFC 1952), which is smaller than file by file and read
more quickly. Hosts treat `.zip` and `.gz` in ways of their own; this ending they do not know."""
LIBRARY = f"library{PACKED}"
KEPT_BUILDS = 4
KEEP_MEMORY = frozenset({"0.29.5"})
"""The versions whose memory the browser keeps (browser/memory.js): those with which the tests have tried it."""
FIRST_VISIT_LIMITS = {"0.29.5": 4_500_000}
"""The most bytes of a first visit, for the versions that have a limit: a build with more ends with an error."""
COMPRESSED = {".html", ".css", ".js", ".mjs", ".json", ".wasm"}
"""What hosts compress."""
COMPILING = ("compile_library.mjs", "compile_library.py", "compile_dataclasses.py")


class RuntimeBuildError(PackageError):
    """The runtime cannot be built; the message is a sentence for the person at the terminal."""


def chosen_version(version: str | None = None) -> str:
    """Return the Pyodide version asked for, by argument, by environment, or the usual one."""
    chosen = version or os.environ.get(VERSION_VARIABLE) or PYODIDE
    if chosen not in INTEGRITY:
        known = ", ".join(INTEGRITY)
        raise RuntimeBuildError(f"Pyodide {chosen} has no integrity noted here; known are {known}.")
    return chosen


def fetch(version: str, made: Path = MADE, integrity: str | None = None) -> Path:
    """Return a folder with the needed files of a Pyodide release, fetched from npm where it is not here yet."""
    return npm_package.fetch("pyodide", version, integrity or INTEGRITY[version], NEEDED, made)


def lock_contents(stock_lock: Path, version: str) -> dict[str, Any]:
    """Return the lock that Pyodide starts with: the release's own description and no packages.

    Written and checked by pyodide-lock.  Its release for Python 3.11 wants ``info.version``, which newer ones
    leave out and accept.
    """
    from pyodide_lock.spec import InfoSpec, PyodideLockSpec

    info = InfoSpec(**{"version": version, **read_json(stock_lock).get("info", {})})
    spec = PyodideLockSpec(info=info, packages={})
    with tempfile.TemporaryDirectory() as scratch:
        written = Path(scratch) / STOCK_LOCK
        spec.to_json(written)
        return read_json(written)


def _borrowed() -> dict[str, str]:
    try:
        return borrowed.sources()
    except borrowed.BorrowedError as error:
        raise RuntimeBuildError(str(error)) from None


def _compile(pyodide: Path, package: Path, out: Path) -> dict[str, Any]:
    script = BUILD_SCRIPTS / COMPILING[0]
    lent = out / "borrowed.json"
    lent.write_text(json.dumps(_borrowed()), encoding="utf-8")
    command = [str(find_node().program), str(script), str(pyodide), str(package.parent), package.name, str(out)]
    command.append(str(lent))
    done = subprocess.run(command, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        raise RuntimeBuildError(f"The library could not be cut and compiled: {done.stderr.strip()[-1500:]}")
    return read_json(out / "report.json")


def _write_folder(version: str, pyodide: Path, package: Path, folder: Path) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as scratch:
        report = _compile(pyodide, package, Path(scratch))
        for zipped, name in (("library.zip", LIBRARY), ("package.zip", f"{package.name}{PACKED}")):
            content = (Path(scratch) / zipped).read_bytes()
            (folder / name).write_bytes(gzip.compress(content, 9, mtime=0))
    engine = next(name for name in ENGINES if (pyodide / name).is_file())
    for name in (LOADER, engine, WASM):
        shutil.copyfile(pyodide / name, folder / name)
    for path in (WORKER, MEMORY):
        shutil.copyfile(path, folder / path.name)
    roles = {
        "loader": LOADER,
        "engine": engine,
        "wasm": WASM,
        "library": LIBRARY,
        "package": f"{package.name}{PACKED}",
        "memory": MEMORY.name,
    }
    manifest = {
        "version": version,
        "python": report["python"],
        "module": f"{package.name}.worker_interface",
        "function": "ask",
        "memory": version in KEEP_MEMORY,
        "lock": lock_contents(pyodide / STOCK_LOCK, version),
        "files": [_described(folder, role, name) for role, name in roles.items()],
        "worker": _described(folder, "worker", WORKER.name),
    }
    text = json.dumps(manifest, indent=1, sort_keys=True) + "\n"
    (folder / "manifest.json").write_text(text, encoding="utf-8")
    _check_bytes(version, folder)
    return manifest


def first_visit_bytes(folder: Path, names: Iterable[str] | None = None) -> int:
    """Return the bytes of files of a folder, of all by default, as a host sends them that compresses what hosts do."""
    paths = [folder / name for name in names] if names is not None else sorted(folder.iterdir())
    return sum(
        len(gzip.compress(path.read_bytes(), 6, mtime=0)) if path.suffix in COMPRESSED else path.stat().st_size
        for path in paths
    )


def _check_bytes(version: str, folder: Path) -> None:
    limit, found = FIRST_VISIT_LIMITS.get(version), first_visit_bytes(folder)
    if limit is not None and found > limit:
        raise RuntimeBuildError(
            f"A first visit would fetch {found:,} bytes, compressed; the limit is {limit:,}. Is there something new in "
            "the package that is only needed when the site is built?"
        )


def _described(folder: Path, role: str, name: str) -> dict[str, str | int]:
    path = folder / name
    return {"role": role, "name": name, "bytes": path.stat().st_size, "sha256": sha256_of(path)}


def _content_name(folder: Path) -> str:
    # The manifest names the sum of every other file, so its own sum stands for all of them.
    return sha256_of(folder / "manifest.json")[:20]


def _is_whole(folder: Path) -> bool:
    manifest = read_json(folder / "manifest.json")
    described = [*manifest.get("files", []), manifest.get("worker", {})]
    if not manifest or folder.name != _content_name(folder):
        return False
    return all(
        (folder / str(one.get("name"))).is_file() and sha256_of(folder / str(one["name"])) == one.get("sha256")
        for one in described
    )


def _inputs(version: str, package: Path) -> str:
    own = [Path(__file__), *(BUILD_SCRIPTS / name for name in COMPILING), WORKER, MEMORY]
    own.append(Path(borrowed.__file__))  # it names the sum of every file that it lends
    sources = sorted(path for path in package.rglob("*.py") if "__pycache__" not in path.parts)
    total = hashlib.sha256(f"{version} {INTEGRITY[version]}".encode())
    for path in own:
        total.update(f"\0{path.name}\0".encode() + path.read_bytes())
    for path in sources:
        total.update(f"\0{path.relative_to(package.parent).as_posix()}\0".encode() + path.read_bytes())
    return total.hexdigest()


def _forget_old(home: Path, current: Path) -> None:
    others = [path for path in home.iterdir() if path.is_dir() and path != current and len(path.name) == 20]
    others.sort(key=lambda path: path.stat().st_mtime, reverse=True)
    for path in others[KEPT_BUILDS - 1 :]:
        shutil.rmtree(path, ignore_errors=True)


def build(version: str | None = None, package: Path = PACKAGE, made: Path = MADE) -> Path:
    """Build the runtime and return its folder, ``.made/runtime/<hash of its content>``.

    The folder holds Pyodide's loader, engine and wasm as npm delivered them, the cut library and the package
    as zips of compiled modules, the worker, and manifest.json with every file's bytes and sha256.  Nothing is
    done where nothing has changed.  Raises RuntimeBuildError with a sentence, also where a first visit would fetch more
    than the limit.
    """
    chosen = chosen_version(version)
    with only_one("runtime"):
        return _built(chosen, package, made)


def _built(chosen: str, package: Path, made: Path) -> Path:
    home = made / "runtime"
    home.mkdir(parents=True, exist_ok=True)
    inputs = _inputs(chosen, package)
    stamp = home / f"stamp-{chosen}-{hashlib.sha256(str(package).encode()).hexdigest()[:8]}.json"
    note = read_json(stamp)
    folder = home / str(note.get("folder", "-"))
    if note.get("inputs") == inputs and _is_whole(folder):
        return folder
    pyodide = fetch(chosen, made)
    with tempfile.TemporaryDirectory(dir=home) as scratch:
        made_now = Path(scratch) / "folder"
        made_now.mkdir()
        _write_folder(chosen, pyodide, package, made_now)
        folder = home / _content_name(made_now)
        if not _is_whole(folder):
            shutil.rmtree(folder, ignore_errors=True)
            made_now.replace(folder)
    stamp.write_text(json.dumps({"inputs": inputs, "folder": folder.name}), encoding="utf-8")
    folder.touch()
    _forget_old(home, folder)
    return folder


def main(arguments: list[str] | None = None) -> int:
    """Build, and print the folder and what is in it."""
    parser = argparse.ArgumentParser(description="Build the browser's Python.")
    parser.add_argument("--pyodide", metavar="VERSION", choices=sorted(INTEGRITY), help="another version")
    chosen = parser.parse_args(arguments)
    try:
        folder = build(chosen.pyodide)
    except PackageError as error:
        print(error, file=sys.stderr)
        return 1
    manifest = read_json(folder / "manifest.json")
    print(folder)
    for one in [*manifest["files"], manifest["worker"]]:
        print(f"  {one['name']:24} {one['bytes']:>10,} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main())
