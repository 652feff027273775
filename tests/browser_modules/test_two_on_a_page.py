"""Two calculators on one page: one record, one worker, an answer each."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.bench import Bench


def doubled(html: str) -> bytes:
    """The page with its calculator twice, the second under names of its own."""
    section = html[html.index("<section") : html.index("</section>") + len("</section>")]
    second = section.replace('data-widget="fake"', 'data-widget="second"')
    second = re.sub(r'\b(id|for)="([^"]+)"', r'\1="\2-2"', second)
    return html.replace("</section>", "</section>" + second).encode()


def test_what_is_entered_in_one_is_known_in_the_other(bench: Bench) -> None:
    page = bench.server.site.folder / "pages" / "page.html"
    bench.server.site.replaced["pages/page.html"] = doubled(page.read_text(encoding="utf-8"))
    bench.open().type("reach", "8")
    bench.choose_in("second", "both")
    expect(bench.find("#f-reach-2")).to_have_value("8")
    expect(bench.find("[data-widget=fake] input[value=both]")).to_be_checked()
    expect(bench.find("#answer-fake #said")).to_have_text("reach 8 mm")
    expect(bench.find("#answer-fake-2 #said")).to_have_text("reach 8 mm")
    assert len(bench.page.workers) == 1
    last = {ask["widget"]: ask["record"] for ask in bench.asks()}
    assert (
        last["fake"]
        == last["second"]
        == {
            "version": 1,
            "reach": {"typed": "8", "unit": "mm"},
            "way": {"typed": "both"},
        }
    )
