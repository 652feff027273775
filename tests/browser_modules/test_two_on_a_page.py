"""Two calculators on one page: one record, one worker, an answer each."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


def doubled(html: str) -> bytes:
    """The page with its calculator twice, the second under names of its own."""
    section = html[html.index("<section") : html.index("</section>") + len("</section>")]
    second = section.replace('data-widget="fake"', 'data-widget="second"')
    second = re.sub(r'\b(id|for)="([^"]+)"', r'\1="\2-2"', second)
    return html.replace("</section>", "</section>" + second).encode()


def test_what_is_entered_in_one_is_known_in_the_other(driver: PageDriver) -> None:
    page = driver.server.site.folder / "pages" / "page.html"
    driver.server.site.replaced["pages/page.html"] = doubled(page.read_text(encoding="utf-8"))
    driver.open().type("reach", "8")
    driver.choose_in("second", "both")
    expect(driver.find("#f-reach-2")).to_have_value("8")
    expect(driver.find("[data-widget=fake] input[value=both]")).to_be_checked()
    expect(driver.find("#answer-fake #said")).to_have_text("reach 8 mm")
    expect(driver.find("#answer-fake-2 #said")).to_have_text("reach 8 mm")
    assert len(driver.page.workers) == 1
    last = {ask["widget"]: ask["record"] for ask in driver.asks()}
    assert (
        last["fake"]
        == last["second"]
        == {
            "version": 1,
            "reach": {"typed": "8", "unit": "mm"},
            "way": {"typed": "both"},
        }
    )
