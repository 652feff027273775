"""What the browser's modules are compiled to: lighter than by an import, and the same in what they do.

What compiling gives is Pyodide's own `compile` (C), and what a dataclass is the standard library's own dataclasses (C).
"""

from __future__ import annotations

import json
import zipfile
import zlib
from difflib import unified_diff
from typing import TYPE_CHECKING

import pytest

import compile_dataclasses
import runtime
from helpers import stand_in
from helpers.first_answers import first_answers
from helpers.node_pyodide import run_python
from helpers.packed import unpacked

if TYPE_CHECKING:
    from pathlib import Path

FIRST_ANSWER_BYTES = 400_000
"""How many compressed bytes of the package a page's first answer may wait for."""
LOOK_AT_CODE = """
import json
from quarterturn import worker_interface
code = worker_interface.ask.__code__
lines = {line for _, _, line in code.co_lines() if line}
columns = {place[2] for place in code.co_positions()}
try:
    worker_interface.ask('{"ask": "raise"}')
except ValueError as error:
    import traceback
    told = traceback.format_exc()
json.dumps([worker_interface.__doc__, code.co_consts[0], worker_interface.ask.__annotations__, min(lines), max(lines),
            columns == {None}, told])
"""
# Each text that dataclasses asks for while everything is imported, and whether its code is what `compile` gives.
LOOK_AT_DATACLASSES = """
import dataclasses, importlib, json, types
def plain(code):
    parts = [getattr(code, name) for name in dir(code) if name.startswith("co_") and not callable(getattr(code, name))
             and name not in ("co_linetable", "co_lnotab", "co_consts", "_co_code_adaptive")]
    parts.append(list(code.co_lines()))
    return [repr(part) for part in parts] + [
        plain(each) if isinstance(each, types.CodeType) else repr(sorted(each)) if isinstance(each, frozenset) else
        repr(each) for each in code.co_consts]
look_up, texts, other = dataclasses.compiled, [], []
def noted(text):
    code = look_up(text)
    texts.append(text)
    if isinstance(code, str) or plain(code) != plain(compile(text, "<string>", "exec", dont_inherit=True)):
        other.append(text)
    return code
dataclasses.compiled = noted
for name in NAMES:
    importlib.import_module(name)
json.dumps([len(texts), other])
"""


@pytest.fixture(scope="module")
def own_modules(real_runtime: Path) -> list[str]:
    """Every module of the package in the browser."""
    with unpacked(real_runtime / "quarterturn.packed") as archive:
        names = [name.removesuffix(".pyc").removesuffix("/__init__") for name in archive.namelist()]
    return [name.replace("/", ".") for name in names if name.startswith("quarterturn")]


def test_no_docstring_and_no_column_and_an_error_has_file_and_line(small_runtime: Path) -> None:
    doc, first, annotations, low, high, no_columns, told = json.loads(run_python(small_runtime, LOOK_AT_CODE))
    assert (doc, first, annotations, no_columns) == (None, None, {}, True)
    lines = stand_in.WORKER_INTERFACE.splitlines()
    head = next(number for number, line in enumerate(lines, 1) if line.startswith("def ask"))
    assert head <= low < high <= len(lines)
    raises = next(number for number, line in enumerate(lines, 1) if "raise ValueError" in line)
    assert f'File "quarterturn/worker_interface.py", line {raises}, in ask' in told


def test_every_dataclass_of_the_package_gets_what_dataclasses_would_compile(
    real_runtime: Path, own_modules: list[str]
) -> None:
    count, other = json.loads(run_python(real_runtime, f"NAMES = {own_modules!r}\n{LOOK_AT_DATACLASSES}"))
    assert count > 150
    assert other == []


def test_a_dataclass_that_was_not_there_is_made_as_ever(small_runtime: Path) -> None:
    code = """
from dataclasses import FrozenInstanceError, dataclass
@dataclass(frozen=True, slots=True, order=True)
class Made:
    one: int
    two: str = "x"
try:
    Made(1).one = 2
except FrozenInstanceError as error:
    refused = str(error)
f"{Made(1)} {Made(1) == Made(1)} {Made(1) < Made(2)} {hash(Made(1)) == hash(Made(1))} {refused} {Made.__match_args__}"
"""
    expected = "Made(one=1, two='x') True True True cannot assign to field 'one' ('one', 'two')"
    assert run_python(small_runtime, code) == expected


@pytest.mark.parametrize("version", sorted(runtime.INTEGRITY))
def test_nothing_else_of_dataclasses_is_changed(fetched: Path, version: str) -> None:
    with zipfile.ZipFile(runtime.fetch(version, fetched.parent) / runtime.STOCK_LIBRARY) as archive:
        source = archive.read(compile_dataclasses.MODULE).decode()
    changed = unified_diff(source.splitlines(), compile_dataclasses.mended(source).splitlines(), n=0, lineterm="")
    lines = [line for line in changed if not line.startswith(("---", "+++", "@@"))]
    assert sum(line.startswith("-") for line in lines) == 2
    assert sum(line.startswith("+") for line in lines) == 3


@pytest.mark.parametrize("harm", ["", "# exec(txt, self.globals, ns)\n"])
def test_another_dataclasses_stops_the_build(fetched: Path, harm: str) -> None:
    with zipfile.ZipFile(fetched / runtime.PYODIDE / runtime.STOCK_LIBRARY) as archive:
        source = archive.read(compile_dataclasses.MODULE).decode()
    line = "        exec(txt, self.globals, ns)\n"
    assert source.count(line) == 1
    with pytest.raises(compile_dataclasses.MendError, match=r"exec\(txt"):
        compile_dataclasses.mended(source + harm if harm else source.replace(line, ""))


def test_a_first_answer_waits_for_few_bytes(real_runtime: Path) -> None:
    with unpacked(real_runtime / "quarterturn.packed") as archive:
        sizes = {name.removesuffix(".pyc"): len(zlib.compress(archive.read(name), 9)) for name in archive.namelist()}
    for name, imported in first_answers().items():
        paths = [module.replace(".", "/") for module in imported.modules]
        total = sum(sizes[path] if path in sizes else sizes[f"{path}/__init__"] for path in paths)
        assert 100_000 < total <= FIRST_ANSWER_BYTES, name


def test_a_first_visit_has_a_limit_of_bytes(
    tmp_path: Path, fetched: Path, real_runtime: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    limit = runtime.FIRST_VISIT_LIMITS[runtime.PYODIDE]
    assert runtime.first_visit_bytes(real_runtime) <= limit
    monkeypatch.setattr(runtime, "FIRST_VISIT_LIMITS", {runtime.PYODIDE: 1_000_000})
    package = stand_in.write(tmp_path / "calc")
    with pytest.raises(runtime.RuntimeBuildError, match=r"bytes, compressed; the limit is 1,000,000"):
        runtime.build(package=package, made=stand_in.made_beside(tmp_path / "made", fetched))
