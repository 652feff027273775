"""The whole job on a phone's width: from the bench to a printed card, and by its link in a browser that knows nothing.

The bow is made up. It answers a turn as the plan foretells it, but for what a scale and a tape cannot tell apart, so
that every step is held against a reading of its own. The window is the published worked case's (sources.md F); the pair
is the one that the plan, tested against a search of its own elsewhere, names; sizes of paper as in test_card.py.

The reader's own calculator leads from the bench to the card, and opens the card's code in another browser. That all
pages say the same again, by what is kept and by the link, a worker tells that answers at once (helpers/answering.py).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from pypdfium2 import PdfDocument

from helpers import codes
from helpers.asking import COMPLETE, GATE, LOOKED_OVER, STRUNG
from helpers.profiles import watched_page
from helpers.site import Watch
from helpers.worksheet import PAGE_OF, Sheet, look_over_again, open_sheet
from quarterturn.bench.progress import CHECKS
from quarterturn.record import link

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from web_server import Server

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
MILLIMETRES = 25.4 / 72
A6 = (148.0, 105.0)
LOOKED = {"check_manual": "read", "check_string_off": "off", "check_lock": "loose"}
WEIGHED = re.compile(r"Expect ([\d.]+) ± \S+ lb at 28 in AMO, tiller")
FORETOLD = re.compile(r"tiller (−?[\d.]+) ± \S+ mm, brace height ([\d.]+) ±")
GO_TO = re.compile(r"upper bolt at (−?[\d.]+), lower bolt at (−?[\d.]+)")
SAME = ("safe-range", "draw-weight", "tiller", "plan", "carry-out", "after", "log", "card")
"""The calculators whose answers a link must bring along."""


def told(text: str) -> float:
    return float(text.replace("−", "-"))


def carry_out(page: Page, sheet: Sheet, number: int) -> dict[str, float]:
    """Carry out the step that the page tells, and enter it: where the bolts go, and readings a little off."""
    said = " ".join(page.locator("#carry-out-next-step").inner_text().split())
    places, readings = GO_TO.search(said), FORETOLD.search(said)
    assert places is not None, said
    assert readings is not None, said
    upper, lower = map(told, places.groups())
    tiller, brace = map(told, readings.groups())
    weighed = WEIGHED.search(said)
    assert (weighed is not None) is ("and weigh" in said), said
    off = 0.1 if number % 2 else -0.1
    lower_tiller = 175.0
    row = {
        "upper_at": upper,
        "lower_at": lower,
        **({} if weighed is None else {"weight": round(told(weighed[1]) + off, 1)}),
        "upper_tiller": round(lower_tiller + tiller - 5 * off, 1),
        "lower_tiller": lower_tiller,
        "brace_height": round(brace + 2 * off, 1),
    }
    if number > 1:
        page.locator("#field-log [data-act=add-row]").click()
    page.locator(f"#f-log-{number}-date").fill(f"2026-06-{number:02d}")
    for column, typed in row.items():
        page.locator(f"#f-log-{number}-{column}").fill(str(typed))
    expect(page.locator("#v-carry-out-rows-figure")).to_have_text(str(number))
    sheet.settled()
    return row


def answers(
    page: Page, server: Server, fragment: str = "", widgets: tuple[str, ...] = SAME
) -> dict[str, dict[str, str]]:
    """What calculators answer from what this browser keeps, or by a link."""
    found = {}
    for widget in widgets:
        page.goto("about:blank")
        page.goto(f"{server.address}{PAGE_OF[widget]}{fragment}")
        sheet = Sheet(page, widget).settled()
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], widget
        found[widget] = sheet.places()
    return found


@pytest.mark.pyodide
def test_from_the_bench_to_a_card_and_to_another_browser(page: Page, server: Server, browser: Browser) -> None:
    page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    start = open_sheet(page, server, "")
    start.choose("bolt_family", "flat")
    before = open_sheet(page, server, "before/")
    before.enter({name: LOOKED.get(name, "fine") for name in CHECKS})
    expect(before.verdict).to_have_attribute("data-state", "go")

    # The bench: both windows, and the bow as it was strung before.
    sheet = open_sheet(page, server)
    bench = {name: typed for name, typed in COMPLETE.items() if name not in (*GATE, "version", "bolt_family")}
    sheet.enter_both(bench | STRUNG)
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    shown = sheet.values()
    assert (shown["upper_inner"]["text"], shown["upper_outer"]["text"]) == ("0.33 turn", "4.82 turns")

    # The plan: a pound lighter, and twice the tiller.
    plan = open_sheet(page, server, "set/")
    plan.enter({"wanted_weight": 37, "wanted_tiller": 8, "draw_length": 28})
    for_it = "For 37 lb and 8 mm tiller: upper bolt 1¾ turns out, lower bolt ¾ turn out, in 4 steps"
    expect(page.locator("#plan-title")).to_have_text(for_it)
    expect(plan.verdict).to_contain_text("36.9 lb")
    expect(page.locator("#plan-pairs-box svg")).to_be_visible()
    expect(page.locator("#plan-steps-list > li")).to_have_count(4)

    # Step by step, on the same page; the rest is planned anew after each, and may be a step more or less.
    carry = Sheet(page, "carry-out")
    rows: list[dict[str, float]] = []
    while page.locator("#v-carry-out-left-figure").text_content() != "0":
        rows.append(carry_out(page, carry, len(rows) + 1))
        assert page.locator("#v-carry-out-amiss-figure").text_content() == "0"
        assert len(rows) < 8
        if len(rows) > 1:
            assert abs(rows[-1]["upper_at"] - rows[-2]["upper_at"]) <= 0.5
            assert abs(rows[-1]["lower_at"] - rows[-2]["lower_at"]) <= 0.5
    assert 3 <= len(rows) <= 6
    last = rows[-1]
    assert 1 <= sum("weight" in one for one in rows) < len(rows)
    expect(page.locator("#carry-out-title")).to_contain_text("Done")
    assert last["weight"] == pytest.approx(37, abs=0.4)
    assert last["upper_tiller"] - last["lower_tiller"] == pytest.approx(8, abs=1.5)
    assert 0.33 <= last["upper_at"] <= 4.82

    # The log has it all, and the bow gets its name.
    open_sheet(page, server, "keep/").enter({"bow_name": "Club bow 3"})
    expect(Sheet(page, "log").headline).to_contain_text(f"{len(rows)} entries")

    # After it, the arrow.
    after = open_sheet(page, server, "after/")
    expect(page.locator("#after-by-log")).to_contain_text("is from your log")
    expect(after.verdict).to_contain_text(f"38.0 lb before, {last['weight']:.1f} lb weighed since")
    after.enter({"arrow_mass": 320, "least_mass_per_pound": 7})
    expect(after.verdict).to_have_attribute("data-state", re.compile("explain|go"))

    # The card, on paper.
    card = open_sheet(page, server, "keep/")
    names = {"riser_name": "blue riser", "limbs_name": "medium", "set_by": "A. Example"}
    card.enter(names)
    expect(page.locator("#card-sheet-a6-box")).to_contain_text("A. Example")
    expect(page.locator("#card-title")).to_contain_text("The card is ready")
    page.evaluate("document.documentElement.dataset.print = 'card'")  # as its button does: test_card.py
    with PdfDocument(page.pdf(prefer_css_page_size=True)) as document:
        (paper,) = list(document)
        size = tuple(side * MILLIMETRES for side in paper.get_size())
        words = paper.get_textpage().get_text_range()
        image = codes.grey(paper.render(scale=12 * MILLIMETRES, rev_byteorder=True).to_numpy().copy())
    assert size == pytest.approx(A6, abs=0.3)
    plain = "".join(words.split())
    weighed, brace = f"{last['weight']:.1f}lbat28inAMO", f"{last['brace_height']:.1f}mm"
    for said in ("Clubbow3", "blueriser", weighed, brace, "0.33to4.82"):
        assert said in plain, words
    (code,) = codes.read(image)
    assert code.startswith(f"{server.address}#")
    by_code = link.from_fragment(code.partition("#")[2]).record.canonical()
    assert (by_code["bow_name"], by_code["riser_name"]) == ("Club bow 3", "blue riser")

    # Reloaded, it is all still there.
    standing = card.places()
    page.reload()
    card.settled()
    assert card.places() == standing
    watch = Watch()
    with watched_page(browser, watch, storage_state=page.context.storage_state()) as again:
        again.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
        own = answers(again, server)
    assert own["card"] == standing

    # Another browser, which knows nothing of it: by the copied link it has everything but an inspection of its own,
    # and once the bow was looked over there too, every page answers the same.
    card.tool("link").click()
    expect(page.locator(".qt-status")).to_contain_text("It carries the values of this bow.")
    address = page.evaluate("navigator.clipboard.readText()")
    fragment = f"#{address.partition('#')[2]}"
    assert len(address) < 1300
    with watched_page(browser, watch) as other:
        other.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
        # That no page says go before that, test_matrix.py sees on all of them.
        by_link = answers(other, server, fragment, ("after", "card"))
        assert [widget for widget, html in by_link.items() if 'data-state="open"' not in "".join(html.values())] == []
        look_over_again(other, server, LOOKED_OVER)
        assert answers(other, server) == own
    # And the code opens a card with the same numbers, though of the log it has how the bow stands only.
    values = card.values()
    with watched_page(browser, watch, offline=True) as other:
        other.goto(code)
        Sheet(other, "start").settled()
        expect(other.locator("#start-title")).to_have_text("Look the bow over yourself first")
        look_over_again(other, server, LOOKED_OVER)
        scanned = open_sheet(other, server, "keep/")
        expect(other.locator("#card-title")).to_contain_text("The card is ready")
        assert scanned.values() == values
    watch.check()
