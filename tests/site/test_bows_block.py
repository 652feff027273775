"""The list of bows as it is built: what its script must know, the schema beside it, the file that it documents."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest

import bows_block
from helpers.built_pages import read_page
from places import ROOT
from quarterturn.record.bows import bows_from_text
from quarterturn.record.field_types import ListField, Scope
from quarterturn.record.fields import BY_NAME, FIELDS
from quarterturn.record.schema import bows_schema

if TYPE_CHECKING:
    from pathlib import Path


def about(built_site: Path) -> dict[str, Any]:
    (section,) = read_page(built_site / "keep" / "index.html").classed("qt-bows")
    (script,) = section.all("script")
    assert script.get("type") == "application/json"
    data = json.loads(script.whole_text)
    assert isinstance(data, dict)
    return data


def test_the_page_knows_the_fields_as_they_are_declared(built_site: Path) -> None:
    known = about(built_site)
    assert known == json.loads(json.dumps(bows_block.about()))
    of_bows = {field.name for field in FIELDS if field.scope is Scope.BOW}
    assert set(known["labels"]) == of_bows
    assert set(known["scopes"]) == set(BY_NAME) - of_bows
    assert set(known["scopes"].values()) == {"reader", "view"}
    for name, most in known["lists"].items():
        field = BY_NAME[name]
        assert isinstance(field, ListField)
        assert most == field.max_rows
    assert list(known["lists"]) == ["log", "events"]
    assert [fact["name"] for fact in known["facts"]] == list(bows_block.FACTS)


def test_the_schema_is_published_beside_the_pages(built_site: Path) -> None:
    text = (built_site / "assets" / "bows.schema.json").read_text(encoding="utf-8")
    assert json.loads(text) == json.loads(json.dumps(bows_schema()))
    page = read_page(built_site / "checked" / "index.html")
    assert "../assets/bows.schema.json" in [link.get("href") for link in page.all("a")]


def test_the_documented_file_is_one() -> None:
    (example,) = re.findall(
        r"``` json\n(.*?)```", (ROOT / "docs" / "checked.md").read_text(encoding="utf-8"), re.DOTALL
    )
    jsonschema.Draft202012Validator(bows_schema()).validate(json.loads(example))
    opened = bows_from_text(example)
    assert opened.notes == ()
    assert len(opened.bows) == 1


def test_another_list_than_all_ends_the_build() -> None:
    with pytest.raises(bows_block.BowsError, match="some: there are all, rack"):
        bows_block.page_part("some")


def test_no_word_of_a_field_can_end_the_data(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bows_block, "about", lambda: {"labels": {"x": "</script><b>"}})
    assert "</script><b>" not in bows_block.page_part("all").replace("</script>\n<noscript>", "")
