"""Every place in the code that cites a page of the project finds what it cites, and no other file is cited.

A note cites a section by its number or letter, as in "model.md 4" or "sources.md B3"; the headings are read from the
pages as text.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from places import ROOT

FOLDERS = ("calc", "tests", "build_scripts", "docs/assets", ".ci")
KINDS = {".py", ".js", ".mjs", ".j2", ".html", ".sh", ".toml", ".yml", ""}
CITED = re.compile(r"\b([\w-]+\.md)\b[`*]*(?:,? (?:section |row )?([A-G]\d|[A-G]|\d)\b)?")
SECTION = re.compile(r"^(?:## ([A-G]|\d)|\*\*([A-G]\d)) ", re.MULTILINE)
PAGES = ("model.md", "sources.md")
THIS = Path(__file__).resolve()


def files() -> list[Path]:
    found = [
        path for folder in FOLDERS for path in (ROOT / folder).rglob("*") if path.suffix in KINDS and path.is_file()
    ]
    return sorted(path for path in found if "__pycache__" not in path.parts and path.resolve() != THIS)


def citations() -> list[tuple[str, str, str]]:
    """Who cites which page and section; no section is ""."""
    return [
        (path.relative_to(ROOT).as_posix(), page, section)
        for path in files()
        for page, section in CITED.findall(path.read_text(encoding="utf-8"))
    ]


def sections(page: str) -> set[str]:
    return {"".join(found) for found in SECTION.findall((ROOT / "docs" / page).read_text(encoding="utf-8"))}


def test_the_pages_have_their_sections() -> None:
    assert sections("model.md") == set("12345678")
    assert sections("sources.md") == set("ABCDEF") | {f"B{number}" for number in range(1, 6)}


@pytest.mark.parametrize("page", PAGES)
def test_every_section_cited_is_there(page: str) -> None:
    cited = [(by, section) for by, name, section in citations() if name == page]
    assert len(cited) >= 50
    assert [(by, section) for by, section in cited if section and section not in sections(page)] == []
    # A whole page is cited seldom: whoever looks something up is led to its section.
    assert sum(not section for _, section in cited) <= 5, [by for by, section in cited if not section]


def test_every_page_cited_is_one_of_the_project() -> None:
    ours = {path.name for path in [*(ROOT / "docs").rglob("*.md"), *ROOT.glob("*.md")]}
    # Names that tests make up for pages of their own, and an attribute of Markdown.
    made_up = {"page.md", "other.md", "x.md", "self.md"}
    assert {(by, page) for by, page, _ in citations() if page not in ours | made_up} == set()


def test_every_file_that_the_map_names_is_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = {name for name in re.findall(r"`([\w/.-]+\.(?:py|js|mjs|md))`", text) if not re.search(r"[A-Z]{4}", name)}
    there = {
        path.name for folder in ("calc", "tests", "build_scripts", "docs") for path in (ROOT / folder).rglob("*.*")
    }
    assert len(named) >= 30
    assert {name for name in named if Path(name).name not in there} == set()
    assert len(text.encode()) <= 8192, "it is read in ten minutes"
