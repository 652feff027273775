"""The HTML of answers, read back by `html.parser` (C); ids and headings as HTML and WCAG 2 want them (M)."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import Any

import pytest

from helpers.asking import COMPLETE, LOOKED_OVER, MAKER, answered, changed
from helpers.drawn_answers import answers
from helpers.nav import page_names
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Block, Stage, State, Steps, Value, Way
from quarterturn.widgets.render import BADGES, BASE_MARK, MARKS, pieces, render

HOSTILE = "\"'><script>alert(1)</script><img src=x onerror=alert(1)>&lt;"
VOID = {"br", "hr", "img", "input", "meta", "link", "col", "wbr"}


class Page(HTMLParser):
    """Elements, ids and text of a fragment; fails where tags do not nest."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(html)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len(dict(attrs)) == len(attrs), "an attribute twice"
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())

    def ids(self) -> list[str]:
        return [str(attributes["id"]) for _, attributes in self.elements if "id" in attributes]


def sampled() -> list[tuple[str, Answer]]:
    """The first of the drawn answers of every widget, and each state of each widget by hand."""
    known = {
        "example": answered({}),
        "go": answered(COMPLETE),
        "go, maker": answered(MAKER),
        "stop": answered(COMPLETE | {"upper_now_turns": 6}),
        "gate": answered({"check_limbs": "fault"}),
        "ask": answered({"check_lock": "unsure"}),
        "no window": answered(COMPLETE | {"margin": 2, "upper_touch_turns": 3}),
        "hostile": answered(COMPLETE | {"bow_name": HOSTILE}),
    }
    for name in WIDGETS:
        for place, record in enumerate(({}, COMPLETE, LOOKED_OVER, STOPPED, DOUBTFUL, {"bolt_family": "swivel"})):
            known[f"{name} {place}"] = answered(record, name)
    for turns in (-1, 0, 0.3, 6):
        for side in ("rim", "butt"):
            record = COMPLETE | {"turns_shown": turns, "strip_offered": side, "length_unit": "in"}
            known[f"pocket at {turns}, {side}"] = answered(record, "pocket")
    for bolt in BOLTS:  # one bolt done, the other begun
        known[f"only the {bolt}"] = answered(changed(COMPLETE, **{f"{bolt}_touch_turns": None}))
    known["too thick"] = answered(COMPLETE | {"strip_thickness": 0.5, "upper_touch_turns": 2.4}, "paper")
    known["a stop and a bad entry"] = answered(STOPPED | {"rise": 1}, "pocket")
    assert {answer.state for answer in known.values()} == set(State)
    assert {answer.widget for answer in known.values()} == set(WIDGETS)
    drawn = [(f"{name} {record}", answer) for name in WIDGETS for record, answer in answers(name, 20)]
    return [*known.items(), *drawn, *((str(record), answer) for record, answer in answers(first=200))]


STOPPED = COMPLETE | {"limb_cracks": "fault", "check_bolt": "unsure"}
DOUBTFUL = {"bolt_family": "stop", "slot_root": "unsure"}


def leads_somewhere(target: str, ids: list[str]) -> bool:
    """Within the answer, or to a page of the site by the mark that the build and the page's script replace."""
    if not target.startswith(BASE_MARK):
        return target.lstrip("#") in ids
    address, _, anchor = target.removeprefix(BASE_MARK).partition("#")
    return address.removesuffix("/") in page_names() and not re.search(r"[^\w-]", anchor)


@pytest.fixture(scope="module")
def pages() -> list[tuple[Answer, Page, str]]:
    """Every answer as a page."""
    return [(answer, *paged(answer)) for _, answer in sampled()]


def paged(answer: Answer) -> tuple[Page, str]:
    """An answer with all its pieces, those too that stand only where a page places them."""
    html = "".join(piece.html or "" for piece in pieces(answer))
    return Page(html), html


Pages = list[tuple[Answer, Page, str]]


@pytest.mark.long
def test_ids_are_unique_and_references_lead_somewhere(pages: Pages) -> None:
    for _, page, _ in pages:
        ids = page.ids()
        assert len(set(ids)) == len(ids)
        assert all(re.fullmatch(r"[A-Za-z][\w-]*", each) for each in ids)
        for _, attributes in page.elements:
            for name in ("aria-labelledby", "aria-describedby", "href", "xlink:href"):
                for target in str(attributes.get(name) or "").split():
                    assert leads_somewhere(target, ids), target
            for value in attributes.values():
                for target in re.findall(r"url\((.*?)\)", value or ""):
                    assert target.startswith("#")
                    assert target[1:] in ids


@pytest.mark.long
def test_nothing_that_the_policy_forbids(pages: Pages) -> None:
    for _, page, html in pages:
        for tag, attributes in page.elements:
            assert tag not in {
                "script",
                "style",
                "iframe",
                "object",
                "embed",
                "img",
                "link",
                "base",
                "form",
                "foreignobject",
            }
            assert "style" not in attributes
            assert not any(name.startswith("on") for name in attributes)
        assert "javascript:" not in html
        assert not re.search(r"https?://(?!www\.w3\.org/)", html)


def test_hostile_words_are_words() -> None:
    page, html = paged(answered(COMPLETE | {"bow_name": HOSTILE}))
    assert HOSTILE in page.text
    assert "<script" not in html
    assert "<img" not in html
    assert not re.search(r"&(?!amp;|lt;|gt;|quot;|#39;)", html)


@pytest.mark.long
def test_every_value_is_the_json_s(pages: Pages) -> None:
    for answer, page, _ in pages:
        shown = {
            str(attributes["data-name"]): attributes for _, attributes in page.elements if "data-name" in attributes
        }
        listed = as_json(answer)["values"]
        assert len(listed) == len(shown) == len(answer.all_values())
        for value in listed:
            attributes = shown[value["name"]]
            if value["unit"]:
                assert float(str(attributes["data-value"])) == value["value"]
                assert attributes["data-unit"] == value["unit"]
            else:
                assert "data-value" not in attributes
            if value["uncertainty"] is None:
                assert "data-uncertainty" not in attributes
            else:
                assert float(str(attributes["data-uncertainty"])) == value["uncertainty"]


def as_json(answer: Answer) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(json.dumps(answer.as_data(), allow_nan=False))
    return data


@pytest.mark.long
def test_every_word_of_the_json_is_on_the_page(pages: Pages) -> None:
    for answer, page, _ in pages[:60]:
        data = as_json(answer)
        words = [data["title"], data["verdict"]]
        words += [value[key] for value in data["values"] for key in ("label", "text", "note", "status")]
        words += [cell for table in data["tables"] for row in table["rows"] for cell in row]
        words += [column for table in data["tables"] for column in (*table["columns"], table["note"], table["title"])]
        words += [step for block in data["steps"] for step in (*block["steps"], block["intro"], block["title"])]
        words += [point for block in data["points"] for point in (*block["points"], block["title"])]
        words += [part for figure in data["figures"] for part in (figure["caption"], figure["title"])]
        words += [*data["headline"].split("\n"), data["line"], *(line["text"] for line in data["lines"])]
        words += [part for verdict in data["verdicts"] for part in (verdict["title"], verdict["text"])]
        words += [each["text"] for tally in data["counts"] for part in tally["parts"] for each in part["missing"]]
        for each in words:
            assert " ".join(each.split()) in page.text


@pytest.mark.long
def test_headings_come_in_order(pages: Pages) -> None:
    for _, page, _ in pages:
        levels = [int(tag[1]) for tag, _ in page.elements if re.fullmatch("h[1-6]", tag)]
        assert levels[0] == 2
        assert set(levels[1:]) <= {3}


@pytest.mark.long
def test_tables_have_heads_and_figures_have_names(pages: Pages) -> None:
    for _, page, _ in pages:
        tags = [tag for tag, _ in page.elements]
        assert tags.count("table") == tags.count("thead") == tags.count("tbody")
        for tag, attributes in page.elements:
            if tag == "th":
                assert attributes.get("scope") in ("row", "col")
            if tag == "svg":
                assert attributes.get("role") == "img"
                assert attributes.get("aria-labelledby") or attributes.get("aria-label")


@pytest.mark.long
def test_the_state_is_on_the_verdict(pages: Pages) -> None:
    for answer, page, _ in pages:
        states = [attributes["data-state"] for _, attributes in page.elements if "data-state" in attributes]
        assert states == [answer.state.value]


def test_a_value_of_words_has_no_number() -> None:
    value = Value("x", "label", None, "", "¼ to 2")
    assert value.value is None
    for _, answer in answers(first=20):
        assert all((value.value is None) == (value.unit == "") for value in answer.all_values())


@pytest.mark.long
def test_every_state_and_every_mark_has_its_words(pages: Pages) -> None:
    assert set(BADGES) == set(State)
    assert len(set(BADGES.values())) == len(State)
    for answer, page, _ in pages:
        assert (answer.badge or BADGES[answer.state]) in page.text


def linked(block: Block) -> tuple[Stage, ...]:
    """What a block links to: the stages of a way, or where it is told how steps are done."""
    return block.stages if isinstance(block, Way) else block.how if isinstance(block, Steps) else ()


@pytest.mark.long
def test_a_way_is_a_list_of_links_with_its_marks_in_words() -> None:
    seen = set()
    for answer in (each for _, each in sampled()[:60]):
        page = Page(render(answer))
        stages = [stage for block in answer.blocks if isinstance(block, Way) for stage in block.stages]
        drawn = [attributes for tag, attributes in page.elements if tag == "li" and "data-mark" in attributes]
        links = [attributes["href"] for tag, attributes in page.elements if tag == "a" and "href" in attributes]
        assert [each["data-mark"] for each in drawn] == [stage.mark for stage in stages]
        assert [each.get("aria-current") for each in drawn] == [
            "step" if stage.mark == "next" else None for stage in stages
        ]
        to = [stage for block in answer.blocks for stage in linked(block)]
        wanted = [f"{stage.page}/" if stage.page else "" for stage in to]
        ends = [f"#{stage.anchor}" if stage.anchor else "" for stage in to]
        assert links == [f"{BASE_MARK}{one}{end}" for one, end in zip(wanted, ends, strict=True)]
        for stage in stages:
            assert stage.text in page.text
            assert MARKS[stage.mark] in page.text
            assert " ".join(stage.note.split()) in page.text
            seen.add(stage.mark)
    assert seen == set(MARKS)
