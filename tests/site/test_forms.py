"""The built form shows every field once, with names for all controls and the declaration's own limits."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

import pytest
from markdown import Markdown
from pint import UnitRegistry

import forms
from calc_block import CalcExtension
from helpers.built_pages import Element, read_html, read_page
from quarterturn.record.declare import AnyField, ChoiceField, NumberField, TextField
from quarterturn.record.fields import BY_NAME, VERSION
from quarterturn.widgets import WIDGETS

if TYPE_CHECKING:
    from pathlib import Path

WIDGET = WIDGETS["safe-range"]
FIELDS = [BY_NAME[name] for name in WIDGET.fields()]
NUMBERS = [field for field in FIELDS if isinstance(field, NumberField)]
CHOICES = [field for field in FIELDS if isinstance(field, ChoiceField)]
TEXTS = [field for field in FIELDS if isinstance(field, TextField)]
PINT: UnitRegistry[Any] = UnitRegistry()
IN_PINT = {"mm": "mm", "in": "inch", "turn": "turn", "lbf": "force_pound", "N": "newton", "kgf": "kilogram_force"}


@pytest.fixture(scope="module")
def page(built_site: Path) -> Element:
    return read_page(built_site / "safe-range" / "index.html")


@pytest.fixture(scope="module")
def part(page: Element) -> Element:
    (section,) = page.classed("qt-widget")
    return section


def by_id(page: Element, name: str) -> Element:
    (found,) = [one for one in page.all() if one.get("id") == name]
    return found


def test_no_id_is_there_twice(page: Element) -> None:
    ids = [one.get("id") for one in page.all() if one.get("id")]
    assert len(ids) == len(set(ids))


def test_what_an_aria_attribute_or_label_names_is_there(page: Element) -> None:
    ids = {one.get("id") for one in page.all()}
    for one in page.classed("qt-widget")[0].all():
        named = " ".join(one.get(name) for name in ("for", "aria-describedby", "aria-labelledby", "aria-controls"))
        assert set(named.split()) <= ids, one.get("id")


def test_every_field_is_there_once(part: Element) -> None:
    shown = [one.get("data-field") for one in part.classed("qt-field")]
    assert sorted(shown) == sorted(WIDGET.fields())
    assert {one.get("data-scope") for one in part.classed("qt-field")} <= {"bow", "reader", "view"}
    for field in FIELDS:
        assert by_id(part, f"field-{field.name}").get("data-scope") == field.scope.value


def test_section_says_what_the_page_needs(part: Element) -> None:
    assert part.get("data-widget") == "safe-range"
    assert part.get("data-record-version") == str(VERSION)
    assert part.get("data-runtime").startswith("../runtime/")


def test_runtime_is_where_the_page_says(part: Element, built_site: Path) -> None:
    folder = (built_site / "safe-range" / part.get("data-runtime")).resolve()
    assert (folder / "worker.js").is_file()


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.name)
def test_number_has_box_unit_slider_and_their_names(part: Element, field: NumberField) -> None:
    group = by_id(part, f"field-{field.name}")
    (label,) = [one for one in group.all("label") if one.get("for") == f"f-{field.name}"]
    assert label.text == field.label
    box = by_id(group, f"f-{field.name}")
    assert (box.get("name"), box.get("type"), box.get("inputmode")) == (field.name, "text", "decimal")
    assert "value" not in box.attributes, "a default must not stand as an entry"
    assert by_id(group, f"h-{field.name}").text == field.help
    menus = [one for one in group.all() if "data-unit-of" in one.attributes]
    offered = [one.get("value") for menu in menus for one in menu.all("option")]
    fixed = [one.get("data-unit") for one in group.all() if "data-unit" in one.attributes]
    assert (offered or fixed) == list(field.units)
    for one in [by_id(group, f"s-{field.name}"), *menus]:
        assert field.label in one.get("aria-label")


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.name)
def test_slider_has_the_declared_limits_in_every_unit(part: Element, field: NumberField) -> None:
    """Units by pint (its own table of factors, outside this project, C)."""
    slider = by_id(part, f"s-{field.name}")
    ranges = json.loads(slider.get("data-units"))
    assert list(ranges) == list(field.units)
    first = ranges[field.unit]
    assert [float(slider.get(name)) for name in ("min", "max", "step")] == [first["min"], first["max"], first["step"]]
    assert float(slider.get("value")) == first["default"] == pytest.approx(field.default)
    top = field.high if field.slider_high is None else field.slider_high
    for unit, numbers in ranges.items():
        step = 10.0 ** -numbers["decimals"]
        low, high = (PINT.Quantity(x, IN_PINT[field.unit]).m_as(IN_PINT[unit]) for x in (field.low, top))
        # Both ends can be entered, and less than one step of the last decimal is lost.
        assert low - 1e-9 <= numbers["min"] < low + step, unit
        assert high - step < numbers["max"] <= high + 1e-9, unit
        assert numbers["min"] <= numbers["default"] <= numbers["max"], unit
        assert numbers["step"] > 0, unit
        shown = PINT.Quantity(field.default, IN_PINT[field.unit]).m_as(IN_PINT[unit])
        assert numbers["default"] == pytest.approx(shown, abs=step), unit


@pytest.mark.parametrize("field", CHOICES, ids=lambda field: field.name)
def test_choice_offers_its_options_and_none_is_taken(part: Element, field: ChoiceField) -> None:
    group = by_id(part, f"field-{field.name}")
    assert group.name == "fieldset"
    assert group.all("legend")[0].text == field.label
    radios = group.all("input")
    assert [(one.get("name"), one.get("value")) for one in radios] == [
        (field.name, option.value) for option in field.options
    ]
    assert not any("checked" in one.attributes for one in radios)
    labels = [one.whole_text for one in group.all("label")]
    assert all(words.startswith(option.label) for words, option in zip(labels, field.options, strict=True))


@pytest.mark.parametrize("field", TEXTS, ids=lambda field: field.name)
def test_text_has_its_length(part: Element, field: TextField) -> None:
    assert by_id(part, f"f-{field.name}").get("maxlength") == str(field.max_length)


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.name)
def test_condition_is_the_declared_one_and_holds_where_the_default_does(part: Element, field: AnyField) -> None:
    group = by_id(part, f"field-{field.name}")
    stated = [one.split("=") for one in group.get("data-when").split("&") if one]
    assert [name for name, _ in stated] == [when.field for when in field.when]
    for (_, values), when in zip(stated, field.when, strict=True):
        assert {value for value in values.split("|") if value} == set(when.values)
        assert ("" in values.split("|")) == (BY_NAME[when.field].default in when.values)
    holds = all("" in values.split("|") for _, values in stated)
    assert ("hidden" in group.attributes) is not holds


def test_bolts_stand_apart(part: Element) -> None:
    for bolt in ("upper", "lower"):
        (group,) = part.classed(f"qt-group--{bolt}")
        names = [one.get("data-field") for one in group.classed("qt-field")]
        assert names
        assert all(name.startswith(bolt) for name in names)


def test_slider_ends_are_rounded_inward() -> None:
    """5 mm to 22 mm are 0.19685… and 0.86614… in (1 in = 25.4 mm, NIST SP 811, S2)."""
    field = NumberField(
        number=1, name="x", label="x", units=("mm", "in"), default=10.0, default_from="", low=5.0, high=22.0,
        limits_because="", step=0.1,
    )  # fmt: skip
    inches = forms.slider(field, "in")
    assert 5 / 25.4 <= float(inches.min) < 5 / 25.4 + 10.0**-inches.decimals
    assert 22 / 25.4 - 10.0**-inches.decimals < float(inches.max) <= 22 / 25.4
    assert math.isclose(float(inches.default), 10 / 25.4, abs_tol=10.0**-inches.decimals)


def markdown(text: str) -> str:
    return str(Markdown(extensions=[CalcExtension()]).convert(text))


def test_block_makes_the_calculator() -> None:
    assert calculators(markdown("before\n\n/// calc | safe-range\n///\n\nafter")) == ["safe-range"]


def calculators(html: str) -> list[str]:
    return [one.get("data-widget") for one in read_html(html).classed("qt-widget")]


@pytest.mark.parametrize("name", ["no-such-thing", "Safe-Range", "../safe-range", "safe_range"])
def test_unknown_calculator_ends_the_build(name: str) -> None:
    with pytest.raises(forms.UnknownCalculator, match="safe-range"):
        markdown(f"/// calc | {name}\n///")


def test_words_inside_the_block_end_the_build() -> None:
    with pytest.raises(ValueError, match="nothing may stand"):
        markdown("/// calc | safe-range\nwords\n///")
