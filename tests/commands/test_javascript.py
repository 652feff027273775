"""The checks of the JavaScript: what they find, what they leave alone, and how their packages are had."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING

import pytest

import javascript
from places import MADE, ROOT

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of the test's own for the packages; installing writes one file into it and nothing else."""
    packages = tmp_path / "javascript"
    monkeypatch.setattr(javascript, "PACKAGES", packages)
    monkeypatch.setattr(javascript, "STAMP", packages / "made-of")
    monkeypatch.setattr(javascript, "_install", lambda: (packages / "installed").write_text("", encoding="utf-8"))
    return packages


def test_packages_are_fetched_once(made: Path) -> None:
    javascript.make_ready()
    (made / "installed").unlink()
    assert javascript.make_ready() == made / "node_modules"
    assert not (made / "installed").exists()


@pytest.mark.parametrize("stamp", [None, "of another time"], ids=["interrupted", "another lock"])
def test_what_is_not_as_it_should_be_is_made_anew(made: Path, stamp: str | None) -> None:
    javascript.make_ready()
    (made / "left over").write_text("", encoding="utf-8")
    javascript.STAMP.unlink()
    if stamp is not None:
        javascript.STAMP.write_text(stamp, encoding="utf-8")
    javascript.make_ready()
    assert not (made / "left over").exists()


def test_the_lock_has_every_packages_hash_and_names_no_place_to_fetch_it_from() -> None:
    lock = json.loads((javascript.SETTINGS / "package-lock.json").read_text(encoding="utf-8"))
    packages = {name: package for name, package in lock["packages"].items() if name}
    wanted = json.loads((javascript.SETTINGS / "package.json").read_text(encoding="utf-8"))["devDependencies"]
    assert {f"node_modules/{name}" for name in wanted} <= set(packages)
    for package in packages.values():
        assert package["integrity"].startswith("sha512-")
        assert "resolved" not in package


FAULTS = {
    "types": ('export const SITE = new URL("../../", import.meta.url);', "export const SITE = 5;"),
    "lint": ("export function storageKey", "const unused = 5;\nexport function storageKey"),
}


@pytest.mark.parametrize("check", FAULTS)
def test_a_fault_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, check: str) -> None:
    """In a copy of the modules and of the settings, with the packages as they are."""
    packages = javascript.make_ready()
    for folder in ("docs/assets/browser", "build_scripts/javascript"):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    (tmp_path / ".made").symlink_to(MADE)
    monkeypatch.setattr(javascript, "ROOT", tmp_path)
    monkeypatch.setattr(javascript, "SETTINGS", tmp_path / "build_scripts" / "javascript")
    monkeypatch.setattr(javascript, "CONFIGURATIONS", ("tsconfig.json",))
    assert packages.is_dir()
    assert javascript.main([check]) == 0
    module = tmp_path / "docs" / "assets" / "browser" / "site_paths.js"
    text = module.read_text(encoding="utf-8")
    before, after = FAULTS[check]
    assert text.count(before) == 1
    module.write_text(text.replace(before, after), encoding="utf-8")
    assert javascript.main([check]) == 1
