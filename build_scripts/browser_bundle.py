"""The browser's modules as a page gets them: each entry in one file with all that it imports, by esbuild.

Seventy small files are what a page of them costs most (docs/decisions/0032-one-file-of-script.md). `build` returns the
folder of the finished files; a second call is quick and needs no network.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

import npm_package
from places import MADE, ROOT, fingerprint, only_one

MODULES = ROOT / "docs" / "assets" / "browser"
ENTRIES = ("page.js", "bare.js", "moved.js")
"""What pages name themselves; every other module is imported by one of these."""

NAME, VERSION = "esbuild-wasm", "0.28.2"
INTEGRITY = "sha512-GccVwhv3mmOUVQHCQm2Ox/rby8n/EqUwvZxE6Pjfikrq/lWw9g9WX/u9EykWnpot3Ko6j426DgQdea2xWKIAQA=="
"""What ``npm view esbuild-wasm@VERSION dist.integrity`` said on the day the version was taken in."""
NEEDED = ("bin/esbuild", "esbuild.wasm", "wasm_exec.js", "wasm_exec_node.js")

# Names stay as they are, so that what goes wrong on a reader's page can be told; comments and indents go.
OPTIONS = ("--bundle", "--format=esm", "--charset=utf8", "--minify-whitespace", "--line-limit=120")


class BundleError(npm_package.PackageError):
    """The modules do not fit together; the message is esbuild's."""


def build(made: Path = MADE) -> Path:
    """Return the folder with a file for each entry, made anew where a module has changed. Raises PackageError."""
    with only_one("bundle"):
        mark = fingerprint([*sorted(MODULES.glob("*.js")), Path(__file__)])
        home = made / "bundle"
        if not (home / mark).is_dir():
            shutil.rmtree(home, ignore_errors=True)
            home.mkdir(parents=True)
            bundle(MODULES, npm_package.fetch(NAME, VERSION, INTEGRITY, NEEDED, made), home / mark)
    return home / mark


def bundle(modules: Path, esbuild: Path, folder: Path) -> None:
    """Write the finished files of a folder of modules into a new folder, whole or not at all. Raises BundleError."""
    with tempfile.TemporaryDirectory(dir=folder.parent) as scratch:
        finished = Path(scratch) / "finished"
        words = [str(esbuild / "bin" / "esbuild"), *ENTRIES, *OPTIONS, "--log-level=warning", f"--outdir={finished}"]
        command = [str(npm_package.find_node().program), *words]
        done = subprocess.run(command, cwd=modules, capture_output=True, text=True, stdin=subprocess.DEVNULL)
        if done.returncode != 0 or done.stderr:
            raise BundleError(f"The browser's modules could not be put into one file. esbuild said:\n{done.stderr}")
        finished.replace(folder)


def put_in_place(site: Path) -> None:
    """Leave of a site's modules the finished files only."""
    finished, folder = build(), site / "assets" / "browser"
    for module in folder.glob("*.js"):
        module.unlink()
    for entry in ENTRIES:
        shutil.copyfile(finished / entry, folder / entry)
