"""A club's own site: its file is checked, its site says what the file says, and any host can serve it from any folder.

Contrast is held against the published formula of WCAG 2.2 (relative luminance of sRGB, M), by numbers that are known
from elsewhere: black on white is 21 to 1, and the least grey that passes on white is #767676 with 4.54.
"""

from __future__ import annotations

import re
import subprocess
import sys
import zipfile
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import club
import club_colours
import live_words
import publish
from club import Club, ClubFileError
from helpers.budgets import fit
from helpers.built_pages import pages, read_page
from helpers.profiles import watched_page
from helpers.site import SUB_FOLDER, serving
from helpers.worksheet import ENTER, OPEN, PATIENCE
from places import BUILD_SCRIPTS, MADE, ROOT, files_under
from quarterturn import units
from quarterturn.record.entries import Record
from quarterturn.record.field_types import NumberField, Scope
from quarterturn.record.fields import FIELDS
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from site_build import STAMP, build_club_site, build_site

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

    from helpers.site import Watch

WIDTHS = (320, 390, 1280)
SAMPLE = BUILD_SCRIPTS / "club.example.toml"
HOSTILE = """
name = '<b>Bow</b> & "String" Club'
contact = "<script>alert(1)</script> & [x](javascript:alert(1)) {{ config }}"
rules = ["<img src=x onerror=alert(2)> *stars* `ticks`", "</div></li><style>*{}</style>"]
units = "metric"
"""


def problems_of(tmp_path: Path, text: str) -> list[str]:
    file = tmp_path / "club.toml"
    file.write_text(text, encoding="utf-8")
    try:
        club.read(file)
    except ClubFileError as error:
        return error.problems
    return []


# The file


def test_the_sample_is_good_and_says_that_it_is_made_up() -> None:
    found = club.read(SAMPLE)
    assert "made up" in found.name
    assert found.units == "imperial"
    assert len(found.rules) == 3
    assert found.address.endswith("/")
    assert all((found.primary, found.accent, found.contact))


def test_every_key_of_the_sample_is_explained() -> None:
    lines = SAMPLE.read_text(encoding="utf-8").splitlines()
    keys = [at for at, line in enumerate(lines) if re.match(r"\w+ = ", line)]
    assert {lines[at].split()[0] for at in keys} == {*club.KEYS, "primary", "accent"} - {"colours"}
    assert [lines[at] for at in keys if not lines[at - 1].startswith("# ")] == []


def test_only_the_name_is_needed(tmp_path: Path) -> None:
    file = tmp_path / "club.toml"
    file.write_text('name = " Bow Club "')
    assert club.read(file) == Club(name="Bow Club")


BAD = {
    "nothing": ("", "name", 'name = "Our club"'),
    "a number for a name": ("name = 7", "name", "not a number"),
    "an empty name": ('name = " "', "name", "empty"),
    "a long name": (f'name = "{"x" * 61}"', "name", "60 characters, and has 61"),
    "a line break": ('name = "a"\ncontact = "x\\ny"', "contact", "one line"),
    "a hidden sign": ('name = "a"\ncontact = "x\\u202ey"', "contact", "hidden signs"),
    "a long contact": (f'name = "a"\ncontact = "{"x" * 121}"', "contact", "120 characters, and has 121"),
    "a misspelt key": ('nmae = "a"\nname = "b"', "nmae", "the keys are name, contact"),
    "a rule that is no list": ('name = "a"\nrules = "No"', "rules", "not text"),
    "nine rules": (f'name = "a"\nrules = {["x"] * 9}', "rules", "8 at most, and there are 9"),
    "a rule that is a number": ('name = "a"\nrules = ["x", 2]', "rules, number 2", "not a number"),
    "a long rule": (f'name = "a"\nrules = ["{"x" * 201}"]', "rules, number 1", "200 characters, and has 201"),
    "units of nobody": ('name = "a"\nunits = "feet"', "units", '"metric" or "imperial"'),
    "units that are a list": ('name = "a"\nunits = ["metric"]', "units", '"metric" or "imperial"'),
    "no units": ('name = "a"\nunits = ""', "units", '"metric" or "imperial"'),
    "an address of a file": ('name = "a"\naddress = "file:///x/"', "address", "https://club.example/bows/"),
    "an address with a query": ('name = "a"\naddress = "https://a.example/?x"', "address", "without ? and #"),
    "an address with markup": ('name = "a"\naddress = "https://a.example/\\"><b>"', "address", "plain letters"),
    "an address with a name in it": ('name = "a"\naddress = "https://b@a.example/"', "address", "plain letters"),
    "an address that is a date": ('name = "a"\naddress = 2026-12-01', "address", "2026-12-01"),
    "colours that are none": ('name = "a"\ncolours = "red"', "colours", "not text"),
    "a colour by name": ('name = "a"\n[colours]\nprimary = "red"', "colours.primary", "six of 0-9 and a-f"),
    "a third colour": ('name = "a"\n[colours]\nthird = "#000000"', "colours.third", "primary, accent"),
    "a light colour": ('name = "a"\n[colours]\nprimary = "#ffd400"', "colours.primary", "4.5 to 1 is needed"),
    "a light accent": ('name = "a"\n[colours]\naccent = "#f0b440"', "colours.accent", "4.5 to 1 is needed"),
    "no TOML": ("name = ‘Club’", "club.toml", "straight quotes"),
}


@pytest.mark.parametrize(("text", "named", "right"), BAD.values(), ids=BAD)
def test_each_bad_key_is_a_sentence_that_says_what_is_right(tmp_path: Path, text: str, named: str, right: str) -> None:
    (sentence,) = problems_of(tmp_path, text)
    assert named in sentence.split(" ")[0].rstrip(":") or sentence.startswith(named) or "club.toml" in sentence
    assert right in sentence
    assert sentence.endswith(".")


def test_all_problems_are_told_at_once(tmp_path: Path) -> None:
    found = problems_of(tmp_path, "contact = 1\nrules = [2]\nunits = 3\naddress = 4\ncolours = 5\nmore = 6")
    assert [sentence.split(" ")[0].rstrip(":,") for sentence in found] == [
        *("more", "name", "contact", "rules", "units", "address", "colours")
    ]


def test_a_file_that_cannot_be_read_is_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "latin.toml").write_bytes('name = "Bogenschützen"'.encode("latin-1"))
    for name, told in (("none.toml", "cannot be read"), ("latin.toml", "UTF-8")):
        with pytest.raises(ClubFileError, match=told):
            club.read(tmp_path / name)


# Colours


def test_contrast_is_that_of_the_standard() -> None:
    assert club_colours.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert club_colours.contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert club_colours.contrast("#777777", "#ffffff") < 4.5
    assert club_colours.contrast("#ff0000", "#ffffff") == pytest.approx(4.0, abs=0.005)


def test_a_colour_that_is_offered_in_place_of_a_light_one_is_taken() -> None:
    for problem in (club_colours.primary_problem, club_colours.accent_problem):
        sentence = problem("#33cc66")
        assert sentence is not None
        (good,) = re.findall(r"(#\w{6}) would do", sentence)
        assert problem(good) is None


def variables(sheet: str, scheme: str) -> dict[str, str]:
    """The site's colours of a scheme as the browser has them: its own, and the club's over them."""
    own = (ROOT / "docs" / "assets" / "qt.css").read_text(encoding="utf-8")
    blocks = re.findall(r":root \{(.*?)\}", own, re.DOTALL)
    for text in (own, sheet):
        blocks += re.findall(rf'\[data-md-color-scheme="{scheme}"\] \{{(.*?)\}}', text, re.DOTALL)
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", "".join(blocks)))


COLOURS = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")


@given(primary=COLOURS, accent=COLOURS)
def test_with_colours_that_are_taken_all_can_be_read(primary: str, accent: str) -> None:
    """Text 4.5 to 1, edges and marks 3 to 1, in both schemes (WCAG 2.2, 1.4.3 and 1.4.11, M)."""
    primary = "" if club_colours.primary_problem(primary) else primary
    accent = "" if club_colours.accent_problem(accent) else accent
    sheet = club_colours.style_sheet(primary, accent)
    for scheme in ("default", "slate"):
        known = variables(sheet, scheme)
        assert known["qt-ground"] in ("#faf8f3", "#14181a")
        texts = [("md-primary-bg-color", "md-primary-fg-color"), ("qt-button-ink", "qt-button")]
        texts += [("qt-brass", "qt-ground"), ("qt-brass", "qt-sheet")]
        for ink, ground in texts:
            assert club_colours.contrast(known[ink], known[ground]) >= 4.5, (scheme, ink)
        assert club_colours.contrast("#ffffff", known["md-primary-fg-color--dark"]) >= 4.5
        assert club_colours.contrast(known["qt-button"], known["qt-ground"]) >= 3
        (mark,) = re.findall(rf'"{scheme}"\] \.md-header {{ border-bottom-color: (#\w+); }}', sheet)
        assert club_colours.contrast(mark, known["md-primary-fg-color"]) >= 3


# Units


def numbers(values: Values, name: str) -> dict[str, float]:
    found = WIDGETS[name].answer(values).all_values()
    return {one.name: units.to_si(one.value, one.unit) for one in found if one.value is not None and one.unit}


@pytest.mark.parametrize("name", WIDGETS)
@pytest.mark.parametrize("system", units.SYSTEMS)
def test_units_change_no_number_of_an_example_and_nothing_it_says(name: str, system: str) -> None:
    plain, ours = Values(Record({})), Values(Record({}), system=system)
    assert numbers(ours, name) == pytest.approx(numbers(plain, name), rel=2e-6, abs=1e-8)
    assert WIDGETS[name].answer(ours).state == WIDGETS[name].answer(plain).state


@pytest.mark.parametrize(
    ("system", "weight", "tiller"),
    [("", "38.0 lb", "4.0 mm"), ("imperial", "38.0 lb", "0.157 in"), ("metric", "169.0 N", "4.0 mm")],
)
def test_examples_are_told_in_the_units_of_the_system(system: str, weight: str, tiller: str) -> None:
    """38 lb are 169.03 N (NIST SP 811, S), and 4 mm are 0.157 in."""
    found = WIDGETS["tiller"].answer(Values(Record({}), system=system)).all_values()
    texts = {one.name: one.text for one in found}
    assert texts["weight"].startswith(weight)
    assert texts["tiller"] == tiller


def test_what_the_reader_typed_or_chose_comes_first() -> None:
    record = from_data({"version": 1, "length_unit": "mm", "draw_weight": {"typed": "40", "unit": "kgf"}}).record
    values = Values(record, system="imperial")
    assert values.choice("length_unit") == "mm"
    assert values.number("draw_weight") == pytest.approx(40 * 9.80665)
    assert any(one.unit == "kgf" for one in WIDGETS["tiller"].answer(values).all_values())


def test_each_number_that_is_typed_begins_with_a_unit_of_the_system() -> None:
    """Lengths, weights and masses; not spine, which the trade counts in thousandths of an inch alone."""
    for field in FIELDS:
        if isinstance(field, NumberField) and len(field.units) > 1:
            ours = field.scope is not Scope.VIEW and field.name != "arrow_spine"
            for system, known in units.SYSTEMS.items():
                assert field.starting_unit(system) in (known if ours else field.units[:1]), field.name
            assert field.starting_unit("") == field.unit


def test_numbers_in_words_are_told_in_the_units_of_the_system() -> None:
    page = '<p>It is <em class="x" data-live="tiller/tiller">4.0 mm</em> here.</p>'
    assert live_words.in_units(page, "") == page
    assert live_words.in_units(page, "imperial") == page.replace("4.0 mm", "0.157 in")


# The command


@dataclass(frozen=True)
class Published:
    """What the command wrote, and what it said."""

    folder: Path
    said: str


@pytest.fixture(scope="session")
def published(tmp_path_factory: pytest.TempPathFactory) -> Published:
    """The sample club's site, as the command writes it."""
    folder = tmp_path_factory.mktemp("host") / "club"
    words = [sys.executable, *map(str, (BUILD_SCRIPTS / "publish.py", SAMPLE, "--out", folder, "--zip"))]
    done = subprocess.run(words, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return Published(folder, done.stdout)


@pytest.fixture(scope="session")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of a club whose file holds markup of all kinds."""
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "club.toml").write_text(HOSTILE, encoding="utf-8")
    build_club_site(folder / "club.toml", folder / "site")
    return folder / "site"


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str]:
    code = publish.main([str(word) for word in words])
    return code, capsys.readouterr().err


def test_a_bad_file_ends_with_two_and_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "club.toml").write_text("name = 1\nunits = 2\n")
    code, said = run(capsys, tmp_path / "club.toml", "--out", tmp_path / "out")
    assert code == 2
    assert len(said.splitlines()) == 2
    assert not (tmp_path / "out").exists()


def test_nothing_but_an_older_site_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "one.jpg").touch()
    (tmp_path / "packed.zip").mkdir()
    bad = [tmp_path / "photos", tmp_path / "photos" / "one.jpg", ROOT, ROOT.parent, ROOT / "docs", MADE, MADE / "site"]
    for folder in bad:
        code, said = run(capsys, SAMPLE, "--out", folder)
        assert code == 2, folder
        assert str(folder) in said
    assert run(capsys, SAMPLE, "--out", tmp_path / "packed", "--zip")[0] == 2
    assert publish.place_problem(tmp_path / "new") is None
    assert publish.place_problem(publish.PUBLISHED) is None
    assert (tmp_path / "photos" / "one.jpg").is_file()


@pytest.mark.long
def test_the_command_says_what_to_set_at_a_host(published: Published) -> None:
    listed = read_page(published.folder / "publish" / "index.html").classed("md-content")[0].all("li")
    on_the_page = [sorted(re.findall(r"[\w-]+", one.whole_text)) for one in listed]
    items = publish.words_on_the_host()
    assert len(items) == 6
    for item in items:
        assert f"- {item}" in published.said
        assert sorted(re.findall(r"[\w-]+", item)) in on_the_page, item
    for header in (published.folder / "_headers").read_text(encoding="utf-8").splitlines():
        assert header in published.said
    for wanted in ("application/wasm", "nosniff", "immutable", "/sw.js\n  Cache-Control: no-cache", "Use https"):
        assert wanted in published.said


@pytest.mark.long
def test_the_pages_say_whose_they_are(published: Published) -> None:
    ours = club.read(SAMPLE)
    for path in pages(published.folder):
        page = read_page(path)
        if not page.classed("md-footer-meta"):
            continue  # the page for what is missing, and those that only lead on
        assert page.all("title")[0].whole_text.endswith(ours.name), path
        assert ours.name in page.classed("md-header")[0].whole_text, path
        foot = page.classed("md-footer-meta")[0].whole_text
        assert all(words in foot for words in (ours.name, ours.contact, "Quarter Turn")), path
        assert [one.get("content") for one in page.all("meta") if one.get("name") == "theme-color"] == [ours.primary]
        for rules in page.classed("qt-rules"):
            assert ours.contact in rules.whole_text, path
        for line in page.classed("qt-rules-line"):
            assert [link.whole_text for link in line.all("a") if "#club-rules" in link.get("href")] == [
                "Our range rules"
            ], path
    sheet = read_page(published.folder / "safe-range" / "index.html")
    (box,) = sheet.classed("qt-club-rules")
    assert [one.whole_text for one in box.all("li")] == list(ours.rules)
    assert ours.contact in box.whole_text
    assert [one for one in sheet.all() if one.get("id") == "rules"], "the rules of the pages stay"


@pytest.mark.long
def test_the_sheet_of_colours_is_a_file_of_the_site(published: Published) -> None:
    ours = club.read(SAMPLE)
    text = (published.folder / "assets" / "club.css").read_text(encoding="utf-8")
    assert text == club_colours.style_sheet(ours.primary, ours.accent)
    page = read_page(published.folder / "index.html")
    sheets = [one.get("href") for one in page.all("link") if one.get("rel") == "stylesheet"]
    assert sheets[-1] == "assets/club.css"


@pytest.mark.long
def test_boxes_and_examples_begin_with_the_units_of_the_club(published: Published) -> None:
    page = read_page(published.folder / "bow" / "index.html")
    (menu,) = [one for one in page.all("select") if one.get("id") == "u-upper_tiller"]
    assert [one.get("value") for one in menu.all("option") if "selected" in one.attributes] == ["in"]
    told = [one.whole_text for one in page.all() if one.get("data-live") == "tiller/tiller"]
    assert set(told) == {"0.157 in"}
    (root,) = page.classed("qt-page")
    assert root.get("data-units") == "imperial"


@pytest.mark.long
def test_the_address_makes_the_site_map_and_nothing_else_absolute(published: Published) -> None:
    address = club.read(SAMPLE).address
    found = re.findall(r"<loc>(.*?)</loc>", (published.folder / "sitemap.xml").read_text(encoding="utf-8"))
    assert f"{address}safe-range/" in found
    assert "lastmod" not in (published.folder / "sitemap.xml").read_text(encoding="utf-8")
    assert not (published.folder / "sitemap.xml.gz").exists()
    for path in pages(published.folder):
        if path.name != "404.html":
            absolute = [one for one in read_page(path).all() if one.get("href").startswith(("/", "http"))]
            assert all(one.get("rel") == "canonical" and one.get("href").startswith(address) for one in absolute), path


@pytest.mark.long
def test_the_zip_is_the_folder_and_twice_the_same_bytes(published: Published) -> None:
    file = publish.zip_of(published.folder)
    before = file.read_bytes()
    with zipfile.ZipFile(file) as packed:
        names = packed.namelist()
        assert names == sorted(names)
        assert names == [path.relative_to(published.folder).as_posix() for path in files_under(published.folder)]
        assert {entry.date_time for entry in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        for name in names:
            assert packed.read(name) == (published.folder / name).read_bytes(), name
    for path in files_under(published.folder):
        path.touch()
    assert publish.write_zip(published.folder).read_bytes() == before


@pytest.mark.long
def test_the_projects_own_site_does_not_notice(built_site: Path, published: Published) -> None:
    stamp = STAMP.read_text(encoding="utf-8")
    assert build_site() == built_site
    assert STAMP.read_text(encoding="utf-8") == stamp
    ours = club.read(SAMPLE)
    for path in [*built_site.rglob("*.html"), *built_site.rglob("*.js")]:
        text = path.read_text(encoding="utf-8")
        if path.parent.name != "publish":
            assert not any(words in text for words in (ours.name, "qt-club", 'data-units="imp')), path
    assert not (built_site / "assets" / "club.css").exists()
    assert "Our range rules" not in (built_site / "safe-range" / "index.html").read_text(encoding="utf-8")


@pytest.mark.long
def test_markup_in_the_file_is_text_on_every_page(hostile: Path) -> None:
    """The build itself ends where a page has a handler or a javascript: address (policy.py)."""
    for path in pages(hostile):
        page = read_page(path)
        if not page.classed("md-footer-meta"):
            continue
        assert page.all("title")[0].whole_text.endswith('<b>Bow</b> & "String" Club'), path
        foot = page.classed("md-footer-meta")[0].whole_text
        assert "<script>alert(1)</script> & [x](javascript:alert(1)) {{ config }}" in foot, path
        assert not [one for one in page.all("script") if "alert(" in one.whole_text], path
        assert not [one for one in page.all("img") if one.get("src") == "x"], path
    (box,) = read_page(hostile / "safe-range" / "index.html").classed("qt-club-rules")
    told = [one.whole_text for one in box.all("li")]
    assert told == ["<img src=x onerror=alert(2)> *stars* `ticks`", "</div></li><style>*{}</style>"]
    assert not (hostile / "sitemap.xml").exists()
    assert not (hostile / "assets" / "club.css").exists()


# In the browser

TOLD = "[data-spot='safe-range/tell-tiller']"
ENTRIES = [{"name": "upper_tiller", "typed": "7.10"}, {"name": "lower_tiller", "typed": "6.90"}]


@pytest.mark.long
@pytest.mark.browser
def test_from_a_folder_of_a_host_a_first_visit_is_answered_in_the_clubs_units(
    browser: Browser, watch: Watch, published: Published
) -> None:
    """With the reader's own runtime, under the site's own headers; what the reader chooses then comes first."""
    with serving(published.folder, SUB_FOLDER) as server, watched_page(browser, watch, pyodide=True) as page:
        page.goto(f"{server.address}safe-range/")
        page.evaluate(OPEN)
        page.evaluate(ENTER, ENTRIES)
        page.locator(TOLD, has_text="0.20 in").wait_for(timeout=PATIENCE)
        page.evaluate(ENTER, [{"name": "length_unit", "typed": "mm"}])
        page.locator(TOLD, has_text="5 mm").wait_for()
        page.reload()
        page.evaluate(OPEN)
        page.locator(TOLD, has_text="5 mm").wait_for(timeout=PATIENCE)
        assert page.input_value("#f-upper_tiller") == "7.10"
        assert page.input_value("#u-upper_tiller") == "in"


@pytest.mark.long
@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_whom_to_ask_stands_beside_an_answer_that_says_to_ask(
    browser: Browser, watch: Watch, published: Published, scheme: str
) -> None:
    options: dict[str, Any] = {"viewport": {"width": 320, "height": 844}, "color_scheme": scheme}
    with (
        serving(published.folder, SUB_FOLDER, steady=True) as server,
        watched_page(browser, watch, **options) as page,
    ):
        page.goto(f"{server.address}before/")
        asked = page.locator(".qt-club-ask")
        assert not asked.is_visible()
        page.evaluate(OPEN)
        page.evaluate(ENTER, [{"name": "limb_cracks", "typed": "fault"}])
        page.locator(".qt-top[data-state=stop]").wait_for(state="attached")
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 844})
            assert asked.is_visible()
            assert club.read(SAMPLE).contact in asked.inner_text()
        for name in ("", "safe-range/", "publish/"):
            page.goto(f"{server.address}{name}")
            for width in WIDTHS:
                fit(page, width)
