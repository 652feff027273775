"""The wheel that is compiled for notebooks in a browser: it is what the runtime's Python loads, and answers alike."""

from __future__ import annotations

import base64
import csv
import hashlib
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import compiled_wheel
import wheel
from compile_library import NOT_IN_THE_BROWSER
from helpers.packed import unpacked

pytestmark = pytest.mark.skipif(
    compiled_wheel.compiler() is None,
    reason=f"`python{compiled_wheel.runtime_version()} build_scripts/compiled_wheel.py` has not set up what compiles",
)


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The compiled wheel."""
    return compiled_wheel.build(wheel.build(tmp_path_factory.mktemp("wheel")))


def modules_of(archive: zipfile.ZipFile) -> dict[str, bytes]:
    """The package's modules and what they begin with: which Python they are for."""
    names = [name for name in archive.namelist() if name.startswith("quarterturn/") and name.endswith(".pyc")]
    return {name: archive.read(name)[:4] for name in names}


def test_its_modules_are_the_runtimes_for_the_same_python(compiled: Path, real_runtime: Path) -> None:
    """The same bytecode; beside the runtime's modules only those that the browser does without."""
    with zipfile.ZipFile(compiled) as archive, unpacked(real_runtime / "quarterturn.packed") as ran:
        ours, theirs = modules_of(archive), modules_of(ran)
        assert not [name for name in archive.namelist() if name.endswith(".py")]
    assert set(ours) - set(theirs) == {f"quarterturn/{name}.pyc" for name in ("__main__", "notebook", "record/schema")}
    assert set(theirs) <= set(ours)
    assert {name.rsplit("/", 1)[-1].removesuffix(".pyc") for name in set(ours) - set(theirs)} == NOT_IN_THE_BROWSER
    assert len(set(ours.values()) | set(theirs.values())) == 1


def test_it_says_what_it_is_and_is_the_same_at_every_build(compiled: Path, tmp_path: Path) -> None:
    version = compiled_wheel.runtime_version()
    assert compiled.name.endswith(f"-cp{version.replace('.', '')}-none-any.whl")
    with zipfile.ZipFile(compiled) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    (home,) = {name.split("/")[0] for name in files if ".dist-info/" in name}
    assert f"Tag: {compiled_wheel.tag()}-none-any" in files[f"{home}/WHEEL"].decode().splitlines()
    rows = list(csv.reader(files[f"{home}/RECORD"].decode().splitlines()))
    assert {name for name, *_ in rows} == set(files)
    for name, total, size in rows:
        if not name.endswith("RECORD"):
            summed = base64.urlsafe_b64encode(hashlib.sha256(files[name]).digest()).rstrip(b"=").decode()
            assert (total, size) == (f"sha256={summed}", str(len(files[name])))
    assert compiled_wheel.build(wheel.build(tmp_path)).read_bytes() == compiled.read_bytes()


def test_it_answers_as_this_package_does(compiled: Path, tmp_path: Path) -> None:
    """Installed in a fresh environment of that Python, without its sources: the same answer, to the byte."""
    python = compiled_wheel.compiler()
    assert python is not None
    subprocess.run([python, "-m", "venv", tmp_path], check=True)
    there = tmp_path / "bin" / "python"
    subprocess.run([there, "-m", "pip", "install", "--quiet", "--no-index", compiled], check=True)
    words = ["answer", "safe-range"]
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    found = subprocess.run(
        [tmp_path / "bin" / "quarterturn", *words], env=clean, cwd=tmp_path, capture_output=True, check=True
    )
    here = subprocess.run([sys.executable, "-m", "quarterturn", *words], capture_output=True, check=True)
    assert found.stdout == here.stdout
    assert len(found.stdout) > 1000
