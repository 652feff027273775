"""The runtime as built: fetched and checked, cut, compiled, the same at every build."""

from __future__ import annotations

import base64
import gzip
import hashlib
import io
import json
import os
import tarfile
import zipfile
from pathlib import Path
from typing import Any, NoReturn

import pytest
from pydantic import ValidationError
from pyodide_lock import PyodideLockSpec

import npm_package
import runtime
from helpers import stand_in
from helpers.node_pyodide import NodePyodideError, ask_all, run_python
from helpers.packed import unpacked
from helpers.runtime_requests import imports_of
from npm_package import PackageError
from places import ROOT


def manifest_of(folder: Path) -> dict[str, object]:
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    assert isinstance(manifest, dict)
    return manifest


def tree(folder: Path) -> dict[str, str]:
    """Every file with the hash of its content."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def small_tarball(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "pyodide-0.0.0.tgz"
    with tarfile.open(path, "w:gz") as archive:
        for name in runtime.NEEDED:
            entry = tarfile.TarInfo(f"package/{name}")
            entry.size = len(name)
            archive.addfile(entry, io.BytesIO(name.encode()))
    return path


def no_network(*_: object) -> NoReturn:
    raise AssertionError("the network was asked")


# Fetching ------------------------------------------------------------------------------------------------------------


def test_a_package_of_another_integrity_is_refused_and_nothing_of_it_is_kept(tmp_path: Path) -> None:
    tarball = small_tarball(tmp_path / "packed")
    into = tmp_path / "unpacked"
    into.mkdir()
    with pytest.raises(PackageError, match="is not the one expected"):
        npm_package.unpack_checked(tarball, runtime.INTEGRITY[runtime.PYODIDE], runtime.NEEDED, into)
    assert list(into.iterdir()) == []


def test_a_wrong_integrity_stops_the_fetch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(npm_package, "pack", lambda _node, _version, into, _cache: small_tarball(into))
    with pytest.raises(PackageError, match="is not the one expected"):
        runtime.fetch(runtime.PYODIDE, tmp_path)
    assert not (tmp_path / "pyodide" / runtime.PYODIDE).exists()


def test_the_integrity_is_the_sha512_that_npm_writes() -> None:
    # S: the sha512 of "abc" in FIPS 180-2, appendix C.1; npm writes it in base64 (W3C Subresource Integrity, 3.2).
    known = (
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a"
        "2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f"
    )
    kind, _, digits = npm_package.integrity_of(b"abc").partition("-")
    assert (kind, base64.b64decode(digits).hex()) == ("sha512", known)


def test_a_changed_file_of_the_fetched_release_is_noticed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    integrity = npm_package.integrity_of(small_tarball(tmp_path / "packed").read_bytes())
    monkeypatch.setattr(npm_package, "pack", lambda *_: tmp_path / "packed" / "pyodide-0.0.0.tgz")
    folder = runtime.fetch(runtime.PYODIDE, tmp_path, integrity)
    (folder / runtime.WASM).write_bytes(b"changed")
    runtime.fetch(runtime.PYODIDE, tmp_path, integrity)
    assert (folder / runtime.WASM).read_bytes() == runtime.WASM.encode()
    monkeypatch.setattr(npm_package, "pack", no_network)
    assert runtime.fetch(runtime.PYODIDE, tmp_path, integrity) == folder


def test_npm_writes_nowhere_else_whatever_its_user_has_set(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fetched: Path
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    (elsewhere / "package.json").write_text("{}", encoding="utf-8")
    home = tmp_path / "home"
    home.mkdir()
    settings = home / ".npmrc"
    own = os.environ.get("NPM_CONFIG_USERCONFIG", "")
    kept = Path(own).read_text(encoding="utf-8") if own and Path(own).is_file() else ""
    hostile = f"pack-destination={elsewhere}\ncache={elsewhere}/cache\nprefix={elsewhere}\ndry-run=true\nsave=true\n"
    settings.write_text(kept + "\n" + hostile, encoding="utf-8")
    monkeypatch.setenv("NPM_CONFIG_USERCONFIG", str(settings))
    into = tmp_path / "into"
    into.mkdir()
    # The cache of the fetch that went before: no network is needed.
    packed = npm_package.pack(npm_package.find_node(), f"pyodide@{runtime.PYODIDE}", into, fetched.parent / "npm")
    assert npm_package.integrity_of(packed.read_bytes()) == runtime.INTEGRITY[runtime.PYODIDE]
    assert list(tree(elsewhere)) == ["package.json"]
    assert list(tree(home)) == [".npmrc"]


def test_a_version_without_an_integrity_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(runtime.VERSION_VARIABLE, "0.0.1")
    with pytest.raises(runtime.RuntimeBuildError, match=r"0\.0\.1 has no integrity"):
        runtime.chosen_version()


# The lock ------------------------------------------------------------------------------------------------------------


def test_the_lock_validates_and_holds_no_package(real_runtime: Path) -> None:
    # S: the schema of PyPI's pyodide-lock, which the makers of Pyodide keep.
    lock = manifest_of(real_runtime)["lock"]
    assert isinstance(lock, dict)
    assert PyodideLockSpec(**lock).packages == {}
    with pytest.raises(ValidationError):
        PyodideLockSpec(**{**lock, "packages": {"one": {"name": "one"}}})


# The build -----------------------------------------------------------------------------------------------------------


def test_two_builds_are_the_same_to_the_byte(tmp_path: Path, fetched: Path, small_runtime: Path) -> None:
    package = stand_in.write(tmp_path / "another" / "place")
    for path in package.iterdir():
        os.utime(path, (1, 1))
    again = runtime.build(package=package, made=stand_in.made_beside(tmp_path / "made", fetched))
    assert again != small_runtime
    assert again.name == small_runtime.name
    assert tree(again) == tree(small_runtime)


def test_a_second_build_does_nothing(real_runtime: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(npm_package, "pack", no_network)
    monkeypatch.setattr(runtime, "_compile", no_network)
    assert runtime.build() == real_runtime


def quick_compile(_pyodide: Path, package: Path, out: Path) -> dict[str, Any]:
    """Stand in for the compilation, where only its place in the build matters."""
    (out / "library.zip").write_bytes(b"library")
    (out / "package.zip").write_bytes((package / "inner.py").read_bytes())
    return {"python": "3.13.2"}


def test_the_name_changes_with_the_package_and_a_damaged_folder_is_built_anew(
    tmp_path: Path, fetched: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(runtime, "_compile", quick_compile)
    package = stand_in.write(tmp_path / "calc")
    made = stand_in.made_beside(tmp_path / "made", fetched)
    first = runtime.build(package=package, made=made)
    library = first / runtime.LIBRARY
    good = library.read_bytes()
    library.write_bytes(good[:-1])
    assert runtime.build(package=package, made=made) == first
    assert library.read_bytes() == good
    assert gzip.decompress(good) == b"library"
    (package / "inner.py").write_text(stand_in.INNER + "# another\nMORE = 1\n", encoding="utf-8")
    assert runtime.build(package=package, made=made).name != first.name


def test_the_manifest_tells_the_truth_about_every_file(real_runtime: Path) -> None:
    manifest = manifest_of(real_runtime)
    files = manifest["files"]
    worker = manifest["worker"]
    assert isinstance(files, list)
    described = {one["name"]: one for one in [*files, worker]}
    assert set(described) == {path.name for path in real_runtime.iterdir()} - {"manifest.json"}
    for name, one in described.items():
        content = (real_runtime / name).read_bytes()
        assert one["bytes"] == len(content)
        assert one["sha256"] == hashlib.sha256(content).hexdigest()


def test_nothing_but_compiled_modules_and_no_path_of_this_machine(real_runtime: Path) -> None:
    for name in (runtime.LIBRARY, "quarterturn.packed"):
        with unpacked(real_runtime / name) as archive:
            names = archive.namelist()
            assert names
            assert all(one.endswith(".pyc") for one in names)
            assert not any(str(ROOT).encode() in archive.read(one) for one in names)
    with unpacked(real_runtime / "quarterturn.packed") as archive:
        assert not {f"quarterturn/{name}.pyc" for name in ("__main__", "notebook", "record/schema")} & {
            *archive.namelist()
        }


# The cut -------------------------------------------------------------------------------------------------------------


def failing_imports(folder: Path, statements: list[str]) -> str:
    code = """
failed = []
for statement in STATEMENTS:
    try:
        exec(statement, {})
    except Exception as error:
        failed.append(f"{statement}: {error!r}")
"\\n".join(failed)
"""
    return run_python(folder, f"STATEMENTS = {statements!r}\n{code}")


def test_the_cut_library_has_all_that_the_package_imports(real_runtime: Path) -> None:
    statements = imports_of(runtime.PACKAGE)
    with unpacked(real_runtime / "quarterturn.packed") as archive:
        own = [name.removesuffix(".pyc").removesuffix("/__init__").replace("/", ".") for name in archive.namelist()]
    assert len(statements) > 20
    assert failing_imports(real_runtime, [*statements, *(f"import {name}" for name in own)]) == ""


def test_the_library_is_cut(small_runtime: Path, fetched: Path) -> None:
    failed = failing_imports(small_runtime, ["import fractions", "import html", "import email", "import csv"])
    assert "import email" in failed
    assert "import csv" in failed
    assert "fractions" not in failed
    assert "html" not in failed
    stock = fetched / runtime.PYODIDE / runtime.STOCK_LIBRARY
    with zipfile.ZipFile(stock) as whole, unpacked(small_runtime / runtime.LIBRARY) as cut:
        assert len(cut.namelist()) < 0.35 * sum(name.endswith(".py") for name in whole.namelist())


def test_an_import_that_the_library_does_not_have_stops_the_build(tmp_path: Path, fetched: Path) -> None:
    package = stand_in.write(tmp_path / "calc", "def ask(text: str) -> str:\n    import numpy\n    return text\n")
    with pytest.raises(runtime.RuntimeBuildError, match=r"quarterturn\.worker_interface imports numpy, which Pyodide"):
        runtime.build(package=package, made=stand_in.made_beside(tmp_path / "made", fetched))


def test_an_error_in_python_has_its_text(small_runtime: Path) -> None:
    with pytest.raises(NodePyodideError, match="ValueError: asked to raise"):
        ask_all(small_runtime, ['{"ask": "raise"}'])
    shown = run_python(
        small_runtime, "import traceback\ntry:\n    1 / 0\nexcept Exception:\n    t = traceback.format_exc()\nt"
    )
    assert "ZeroDivisionError" in shown


# The answers ---------------------------------------------------------------------------------------------------------


def test_the_stand_in_answers(small_runtime: Path) -> None:
    answers = ask_all(small_runtime, ['{"quarters": 3}', "{}"])
    assert [json.loads(answer)["html"] for answer in answers] == ["&lt;0.75 turns&gt;", "&lt;0.0 turns&gt;"]
