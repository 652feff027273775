"""The package's wheel with its modules compiled, for notebooks in a browser: what they load need not be compiled there.

Compiled modules are for one version of Python, that of the runtime, so only such a Python can compile them. It is set
up once, in an environment of its own; from then on every build of the site publishes the compiled wheel too:

    python3.13 build_scripts/compiled_wheel.py

The packages are those of requirements/wheel.txt. To renew it (as environment.py says, for Python 3.12 and newer):

    cd build_scripts/requirements
    uv pip compile --no-config --universal --python-version 3.12 --fork-strategy fewest --generate-hashes \
        --no-emit-index-url --no-header wheel.in -o wheel.txt
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import venv
import zipfile
from functools import cache
from pathlib import Path

import runtime
import wheel
from environment import FOREIGN
from places import BUILD_SCRIPTS, MADE, tell

ENVIRONMENT = MADE / "compiling"
REQUIREMENTS = BUILD_SCRIPTS / "requirements" / "wheel.txt"
FIXED_DATE = (2020, 1, 1, 0, 0, 0)
ASK_VERSION = "import sys, pyodide_build; print('%d.%d' % sys.version_info[:2])"


def runtime_version() -> str:
    """The version of the runtime's Python, "3.13" say."""
    manifest = json.loads((runtime.build() / "manifest.json").read_text(encoding="utf-8"))
    return ".".join(manifest["python"].split(".")[:2])


@cache
def compiler() -> Path | None:
    """The Python that can compile for the runtime: of its version, with pyodide-build; None where there is none."""
    wanted = runtime_version()
    for python in (ENVIRONMENT / "bin" / "python", Path(sys.executable)):
        words = [str(python), "-I", "-c", ASK_VERSION]
        try:
            found = subprocess.run(words, capture_output=True, text=True, check=True).stdout.strip()
        except (OSError, subprocess.CalledProcessError):
            continue
        if found == wanted:
            return python
    return None


def tag() -> str:
    """What the compiled wheel's name has in the place of "py3", "cp313" say."""
    return f"cp{runtime_version().replace('.', '')}"


def name_beside(plain: str) -> str:
    """The wheel for a notebook in a browser: the compiled one's name, or the plain one's where nothing compiles."""
    return plain if compiler() is None else plain.replace("-py3-", f"-{tag()}-")


def build(plain: Path) -> Path:
    """Put the compiled wheel beside the plain one; return its path, or the plain one's where nothing compiles.

    Raises:
        WheelError: what compiles it fails.
    """
    python = compiler()
    if python is None:
        return plain
    with tempfile.TemporaryDirectory() as scratch:
        copied = Path(shutil.copy(plain, scratch))
        done = subprocess.run(
            [str(python.with_name("pyodide")), "py-compile", "--silent", "--keep", str(copied)],
            # With a day for all files Python names in a compiled module its source's sum, and not the time.
            env={**os.environ, "SOURCE_DATE_EPOCH": wheel.DAY_OF_ALL_FILES},
            capture_output=True,
            text=True,
        )
        made = copied.with_name(name_beside(plain.name))
        if done.returncode != 0 or not made.exists():
            raise wheel.WheelError(f"The wheel could not be compiled: {done.stderr.strip()[-1500:]}")
        target = plain.with_name(made.name)
        _write_even(made, target)
    return target


def _write_even(made: Path, target: Path) -> None:
    """The same wheel with one day for all files, the tag in its description, and its own list of sums."""
    with zipfile.ZipFile(made) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    (record,) = [name for name in files if name.endswith(".dist-info/RECORD")]
    (description,) = [name for name in files if name.endswith(".dist-info/WHEEL")]
    files[description] = files[description].replace(b"Tag: py3-", f"Tag: {tag()}-".encode())
    del files[record]
    files[record] = "".join([*map(_record_line, files, files.values()), f"{record},,\n"]).encode()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, FIXED_DATE)
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, content, zipfile.ZIP_DEFLATED)


def _record_line(name: str, content: bytes) -> str:
    total = base64.urlsafe_b64encode(hashlib.sha256(content).digest()).rstrip(b"=").decode()
    return f"{name},sha256={total},{len(content)}\n"


def set_up() -> None:
    """Make the environment that compiles, from the Python that runs this."""
    if sys.version_info < (3, 12):
        raise SystemExit(
            "This needs the runtime's Python: pyodide-build wants 3.12 or newer. The plain wheel is enough."
        )
    venv.create(ENVIRONMENT, with_pip=True, symlinks=True, clear=True)
    words = [str(ENVIRONMENT / "bin" / "python"), "-m", "pip", "install", "--quiet", "--require-hashes", "--no-deps"]
    clean = {name: value for name, value in os.environ.items() if name not in FOREIGN}
    subprocess.run([*words, "--only-binary=:all:", "-r", str(REQUIREMENTS)], env=clean, check=True)
    tell("Every build of the site now publishes the compiled wheel, if the runtime's Python is of this version.")


if __name__ == "__main__":
    set_up()
