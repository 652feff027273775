"""The built form shows every field once, with names for all controls and the declaration's own limits."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

import pytest
from pint import UnitRegistry, get_application_registry

import forms
import page_parts
from helpers.built_pages import Element, read_html, read_page
from helpers.worksheet import MAIN
from places import ROOT
from quarterturn.record.field_types import AnyField, ChoiceField, DateField, ListField, NumberField, Scope, TextField
from quarterturn.record.fields import BY_NAME, VERSION
from quarterturn.record.fields import FIELDS as FIELDS_DECLARED
from quarterturn.widgets import WIDGETS

if TYPE_CHECKING:
    from pathlib import Path

FIELDS = [field for field in FIELDS_DECLARED if not isinstance(field, ListField)]
NUMBERS = [field for field in FIELDS if isinstance(field, NumberField)]
CHOICES = [field for field in FIELDS if isinstance(field, ChoiceField)]
TEXTS = [field for field in FIELDS if isinstance(field, TextField)]
PINT: UnitRegistry[Any] = get_application_registry()  # type: ignore[no-untyped-call]
IN_PINT = {"mm": "mm", "in": "inch", "turn": "turn", "lbf": "force_pound", "N": "newton", "kgf": "kilogram_force"}
IN_PINT |= {
    "count": "",
    "gr": "grain",
    "g": "gram",
    "g/N": "gram / newton",
    "gr/lbf": "grain / force_pound",
    "thou": "thou",
}


def form(*fields: AnyField) -> Element:
    """The boxes of these fields, as a page's `boxes` block makes them."""
    return read_html(
        forms.rendered(
            "boxes.html.j2",
            pairs=page_parts.pairs(list(fields)),
            known=False,
            how="",
            row=False,
            with_slider=False,
            newest=False,
            bolt_of=page_parts.bolt_of,
            enters=dict.fromkeys((one.name for one in fields), ""),
            tells=dict.fromkeys((one.name for one in fields), ""),
            drawings={},
            has_drawn_options=lambda _: False,
        )
    )


@pytest.fixture(scope="module")
def part() -> Element:
    return form(*FIELDS)


@pytest.fixture(scope="module", params=sorted(MAIN))
def page(built_site: Path, request: pytest.FixtureRequest) -> Element:
    return read_page(built_site / request.param / "index.html")


def by_id(page: Element, name: str) -> Element:
    (found,) = [one for one in page.all() if one.get("id") == name]
    return found


def test_no_id_is_there_twice(page: Element) -> None:
    ids = [one.get("id") for one in page.all() if one.get("id")]
    assert len(ids) == len(set(ids))


def test_what_an_aria_attribute_or_label_names_is_there(page: Element) -> None:
    ids = {one.get("id") for one in page.all()}
    for one in page.classed("qt-page")[0].all():
        named = " ".join(one.get(name) for name in ("for", "aria-describedby", "aria-labelledby", "aria-controls"))
        assert set(named.split()) <= ids, one.get("id")


def test_every_field_of_the_pages_calculators_is_there_once(page: Element) -> None:
    """Also those that it does not ask for: a page writes what a picture or a button enters into their boxes."""
    (root,) = page.classed("qt-page")
    shown = [one.get("data-field") for one in root.classed("qt-field")]
    assert len(shown) == len(set(shown))
    for told in root.get("data-calculators").split():
        name, some, _ = told.partition(":")
        views = {one for one in WIDGETS[name].fields() if BY_NAME[one].scope is Scope.VIEW}
        assert some or views <= set(shown), name
    for name in shown:
        assert by_id(root, f"field-{name}").get("data-scope") == BY_NAME[name].scope.value


def test_page_says_what_its_script_needs(page: Element, built_site: Path) -> None:
    (root,) = page.classed("qt-page")
    assert {told.partition(":")[0] for told in root.get("data-calculators").split()} <= set(WIDGETS)
    assert root.get("data-record-version") == str(VERSION)
    assert root.get("data-unlinked") == "log:60"
    depth = root.get("data-base").count("../")
    assert root.get("data-runtime").startswith("../" * depth + "runtime/" if depth else "./runtime/")
    mark = root.get("data-runtime").rstrip("/").rpartition("/")[2]
    assert (built_site / "runtime" / mark / "worker.js").is_file()


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
    assert float(slider.get("value")) == first["default"] == pytest.approx(field.default, abs=first["step"])
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
    options = list(field.options)
    if field.name == "bolt_family":  # links write places, so that new kinds stand behind "I do not know"
        options.append(options.pop([option.value for option in options].index("unknown")))
    assert [(one.get("name"), one.get("value")) for one in radios] == [(field.name, each.value) for each in options]
    assert not any("checked" in one.attributes for one in radios)
    labels = [one.whole_text for one in group.all("label")]
    assert all(words.startswith(option.label) for words, option in zip(labels, options, strict=True))


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


LIST = BY_NAME["scale_readings"]


@pytest.fixture
def listed() -> Element:
    """The list as a form shows it."""
    return by_id(form(LIST), f"field-{LIST.name}")


def inside(part: Element, tag: str) -> Element:
    (found,) = part.all(tag)
    return found


def test_list_says_what_it_is_and_how_many_rows_there_may_be(listed: Element) -> None:
    assert isinstance(LIST, ListField)
    assert (listed.name, listed.get("data-kind"), listed.get("data-scope")) == ("fieldset", "list", "bow")
    assert (listed.get("data-row"), listed.get("data-most")) == (LIST.row, str(LIST.max_rows))
    assert inside(listed, "legend").text == LIST.label
    assert by_id(listed, f"h-{LIST.name}").text == LIST.help
    assert not [one for one in listed.all("input") if one.get("type") == "range"], "no sliders in a table"


def test_list_has_a_head_with_unit_and_example_for_each_column(listed: Element) -> None:
    assert isinstance(LIST, ListField)
    first, *heads = inside(listed, "thead").all("th")
    assert first.text == LIST.row
    assert {head.get("scope") for head in (first, *heads)} == {"col"}
    for head, column in zip(heads, LIST.columns, strict=True):
        assert isinstance(column, NumberField)
        assert (head.get("data-column"), head.get("data-label")) == (column.name, column.label)
        assert ("data-needed" in head.attributes) is (column in LIST.required)
        menu = inside(head, "select")
        assert column.label in menu.get("aria-label")
        assert [option.get("value") for option in menu.all("option")] == list(column.units)
        assert head.whole_text.startswith(column.label)
        assert inside(head, "small").text == f"example {column.default:g} {forms.symbol(column.unit)}"


def test_list_has_a_few_rows_whose_boxes_are_named_and_hold_nothing(listed: Element) -> None:
    """As it is built, and so without scripts: rows to read and boxes to see, and no button that would do nothing."""
    assert isinstance(LIST, ListField)
    rows = inside(listed, "tbody").all("tr")
    assert len(rows) == LIST.initial_rows >= 1
    for number, row in enumerate(rows, 1):
        head = inside(row, "th")
        assert (head.text, head.get("scope")) == (str(number), "row")
        for control, column in zip(row.all("input"), LIST.columns, strict=True):
            assert control.get("aria-label") == f"{column.label}, {LIST.row} {number}"
            assert (control.get("data-column"), control.get("inputmode")) == (column.name, "decimal")
            assert control.get("aria-describedby") == f"e-{LIST.name}"
            assert "value" not in control.attributes
            assert "placeholder" not in control.attributes, "an example in each row would look like a reading"
        assert inside(row, "button").get("aria-label") == f"remove {LIST.row} {number}"
    assert inside(listed, "thead").all("button") == []
    for button in listed.all("button"):
        assert "hidden" in button.attributes
        assert button.get("type") == "button"
    acts = [button.get("data-act") for button in listed.all("button")]
    assert acts.count("add-row") == 1
    assert acts.count("remove-row") == len(rows) + 1


def test_list_brings_an_unnamed_row_to_copy(listed: Element) -> None:
    """The row to add is built here: nothing in the browser makes markup of a field."""
    assert isinstance(LIST, ListField)
    (row,) = inside(listed, "template").all("tr")
    assert [one.get("data-column") for one in row.all("input")] == [column.name for column in LIST.columns]
    assert not any(one.get("id") or one.get("aria-label") for one in row.all())
    ids = [one.get("id") for one in listed.all() if one.get("id")]
    assert len(ids) == len(set(ids))


LOG = BY_NAME["log"]


@pytest.fixture(scope="module")
def log() -> Element:
    """A list of seven columns, one of them of days, on a form of its own."""
    return by_id(form(LOG), f"field-{LOG.name}")


EVENTS = BY_NAME["events"]


def test_a_column_of_choices_is_a_menu_that_begins_with_none() -> None:
    """What was not chosen is absent: the first entry of the menu is empty, and nothing is chosen as it is built."""
    assert isinstance(EVENTS, ListField)
    built = by_id(form(EVENTS), f"field-{EVENTS.name}")
    rows = [*inside(built, "tbody").all("tr"), *inside(built, "template").all("tr")]
    assert len(rows) == EVENTS.initial_rows + 1 == 2
    choices = [column for column in EVENTS.columns if isinstance(column, ChoiceField)]
    for row in rows:
        for menu, column in zip(row.all("select"), choices, strict=True):
            assert menu.get("data-column") == column.name
            offered = [(option.get("value"), option.text) for option in menu.all("option")]
            assert offered == [("", ""), *((option.value, option.label) for option in column.options)]
            assert not any("selected" in option.attributes for option in menu.all("option"))
    assert [one.get("aria-label") for one in rows[0].all("select")] == [f"{each.label}, event 1" for each in choices]


def test_a_column_of_days_has_the_browsers_own_box_with_the_declared_limits(log: Element) -> None:
    """`type=date`, `min` and `max` in ISO 8601: HTML's living standard, 4.10.5.1.7 (M)."""
    assert isinstance(LOG, ListField)
    date, *numbers = LOG.columns
    assert isinstance(date, DateField)
    head = inside(log, "thead").all("th")[1]
    assert (head.get("data-column"), "data-needed" in head.attributes) == ("date", True)
    assert inside(head, "small").text == "example 2026-06-30"
    assert not head.all("select")
    rows = [*inside(log, "tbody").all("tr"), *inside(log, "template").all("tr")]
    assert len(rows) == LOG.initial_rows + 1
    for row in rows:
        day, *others = row.all("input")
        assert (day.get("type"), day.get("min"), day.get("max")) == ("date", date.first, date.last)
        assert "data-day" in day.attributes
        assert [other.get("type") for other in others] == ["text"] * len(numbers)
        assert not any("data-day" in other.attributes or other.get("min") for other in others)
        assert not any("value" in each.attributes or "placeholder" in each.attributes for each in row.all("input"))


def test_a_wide_list_names_each_box_for_where_its_head_is_out_of_sight(log: Element, listed: Element) -> None:
    assert isinstance(LOG, ListField)
    labels = ["date", "upper bolt at, turns", "lower bolt at, turns", *(column.label for column in LOG.columns[3:])]
    assert "qt-list--wide" in log.get("class").split()
    (adder,) = [one for one in log.all("button") if one.get("data-act") == "add-row"]
    assert adder.text == "Add an entry"
    for row in inside(log, "tbody").all("tr"):
        assert [cell.get("data-label") for cell in row.all("td")[:-1]] == labels
    assert "qt-list--wide" not in listed.get("class").split()
    assert not any(cell.get("data-label") for cell in inside(listed, "tbody").all("td"))


def test_a_date_has_a_box_with_its_example() -> None:
    """The example stands in the box only where a browser has none of its own for days."""
    field = DateField(
        number=900, name="made", label="Made on", help="Which day.", default="2026-03-14", default_from="",
        first="2024-01-01",
    )  # fmt: skip
    page = form(field)
    part = by_id(page, "field-made")
    assert part.get("data-kind") == "date"
    box = by_id(part, "f-made")
    assert (box.get("name"), box.get("type"), box.get("placeholder")) == ("made", "date", "example 2026-03-14")
    assert (box.get("min"), box.get("max")) == ("2024-01-01", "2100-12-31")
    assert "data-day" in box.attributes
    assert "value" not in box.attributes
    (label,) = part.all("label")
    assert (label.get("for"), label.text) == ("f-made", "Made on")
    assert by_id(part, "h-made").text == "Which day."
    assert set(box.get("aria-describedby").split()) == {"h-made", "e-made"}


def shape(part: Element) -> Any:
    """An element and those in it, with what the browser's modules find them by."""
    told = ("class", "data-kind", "data-act", "data-scope", "type", "scope", "role")
    values = [part.get(name) for name in told]
    return part.name, sorted(part.attributes), values, [shape(child) for child in part.children]


def test_the_browsers_tests_use_the_same_shape_of_list(listed: Element) -> None:
    """tests/browser_modules has one by hand: two columns, of which the first has a choice of two units."""
    fixture = read_html((ROOT / "tests" / "browser_modules" / "fixture" / "page.html").read_text(encoding="utf-8"))
    by_hand = by_id(fixture, "field-steps")
    both = (listed, by_hand)
    for tag in ("tbody", "template"):
        one, other = (shape(inside(each, tag)) for each in both)
        assert one == other
    one, other = (shape(inside(each, "thead").all("th")[1]) for each in both)
    assert one == other
    one, other = (
        [sorted(each.attributes), [(part.name, part.get("class")) for part in each.children]] for each in both
    )
    assert one == other


def test_the_browsers_tests_use_the_same_boxes_for_days(log: Element) -> None:
    fixture = read_html((ROOT / "tests" / "browser_modules" / "fixture" / "days.html").read_text(encoding="utf-8"))
    by_hand = by_id(fixture, "field-entries")
    for tag in ("tbody", "template"):
        one, other = (shape(inside(each, tag).all("input")[0]) for each in (log, by_hand))
        assert one == other
    one, other = (shape(inside(each, "thead").all("th")[1]) for each in (log, by_hand))
    assert one == other


def test_bolts_stand_apart() -> None:
    """The two bolts' boxes of one reading: a pair, each told apart by its bolt."""
    asked = [BY_NAME["upper_touch_turns"], BY_NAME["lower_touch_turns"], BY_NAME["head_diameter"]]
    (pair,) = form(*asked).classed("qt-pair")
    for bolt in ("upper", "lower"):
        (side,) = [one for one in pair.classed("qt-bolt") if one.get("data-of-bolt") == bolt]
        assert [one.get("data-field") for one in side.classed("qt-field")] == [f"{bolt}_touch_turns"]


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
