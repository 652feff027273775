"""The script of the pages: every module in one file for each entry, made by a pinned esbuild."""

from __future__ import annotations

import gzip
import re
import shutil
from typing import TYPE_CHECKING, NoReturn

import pytest

import browser_bundle
import npm_package
from browser_bundle import ENTRIES, INTEGRITY, MODULES, NAME, NEEDED, VERSION
from places import MADE

if TYPE_CHECKING:
    from pathlib import Path

IMPORTED = re.compile(r'(?m)^import [^;]*?"\./(\w+\.js)";')


def not_again(*_: object) -> NoReturn:
    raise AssertionError("it was made once")


def imported_by(entry: str) -> set[str]:
    """An entry's modules and itself, found by following what each says that it imports."""
    found, left = set(), [entry]
    while left:
        name = left.pop()
        if name not in found:
            found.add(name)
            left += IMPORTED.findall((MODULES / name).read_text(encoding="utf-8"))
    return found


def test_every_module_is_an_entrys() -> None:
    assert set().union(*map(imported_by, ENTRIES)) == {path.name for path in MODULES.glob("*.js")}


def test_the_site_has_one_file_for_each_entry_with_all_of_its_modules(built_site: Path) -> None:
    folder = built_site / "assets" / "browser"
    assert {path.name for path in folder.glob("*.js")} == set(ENTRIES)
    for entry in ENTRIES:
        text = (folder / entry).read_text(encoding="utf-8")
        assert not re.search(r"\bimport\s*[{\"'(*]", text), entry
        for name in imported_by(entry):
            for kind in re.findall(r"(?m)^export class (\w+)", (MODULES / name).read_text(encoding="utf-8")):
                assert f"{kind}=class" in text or f"class {kind}" in text, kind


def test_one_file_is_less_than_half_of_many(built_site: Path) -> None:
    one = (built_site / "assets" / "browser" / "page.js").read_bytes()
    many = [(MODULES / name).read_bytes() for name in imported_by("page.js")]
    assert 20_000 < len(gzip.compress(one, 6)) < sum(len(gzip.compress(each, 6)) for each in many) / 2


def test_a_second_build_makes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    folder = browser_bundle.build()
    monkeypatch.setattr(npm_package, "fetch", not_again)
    monkeypatch.setattr(browser_bundle, "bundle", not_again)
    assert browser_bundle.build() == folder


def test_a_module_that_is_missing_ends_the_build_and_is_named(tmp_path: Path) -> None:
    modules = tmp_path / "modules"
    shutil.copytree(MODULES, modules)
    (modules / "banner.js").unlink()
    esbuild = npm_package.fetch(NAME, VERSION, INTEGRITY, NEEDED, MADE)
    with pytest.raises(browser_bundle.BundleError, match=r'Could not resolve "\./banner\.js"'):
        browser_bundle.bundle(modules, esbuild, tmp_path / "finished")
    assert not (tmp_path / "finished").exists()
