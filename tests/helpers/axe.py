"""What axe-core finds on a page, in both schemes and at both widths.

axe-core comes with the package axe-playwright-python. It is evaluated in the page; the page's policy is left in force.
"""

from __future__ import annotations

from importlib import resources
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Page

WORST = ("serious", "critical")
PHONE, DESKTOP = (390, 844), (1280, 800)
RUN = "(rules) => axe.run(document, { resultTypes: ['violations'], ...rules })"
COLOURS = ["color-contrast", "link-in-text-block"]
"""Of the rules that are looked at without being asked for, those on colours: they take nine tenths of the time."""
ONLY_COLOURS: dict[str, Any] = {"runOnly": COLOURS}
NO_COLOURS: dict[str, Any] = {"rules": {name: {"enabled": False} for name in COLOURS}}


def axe(page: Page, rules: dict[str, Any] | None = None, *, every: bool = False) -> list[str]:
    """The serious and critical findings on a page as it is, or every one, a line each, by all rules or by some."""
    if page.evaluate("typeof globalThis.axe") == "undefined":
        page.evaluate(resources.files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8"))
    found: dict[str, Any] = page.evaluate(RUN, rules or {})
    assert "violations" in found
    return [
        f"{one['impact']} {one['id']}: {one['nodes'][0]['target']} {one['nodes'][0]['failureSummary']}"
        for one in found["violations"]
        if every or one["impact"] in WORST
    ]


def findings(page: Page, *, swapped: bool = False) -> list[str]:
    """What is found at both widths and in both schemes; it leaves the page dark, at the width of a desktop.

    The colours are those of one style sheet for all pages: light they are looked at on a phone and dark on a desktop,
    `swapped` the other way round, which every second page is.
    """
    light, dark = (DESKTOP, PHONE) if swapped else (PHONE, DESKTOP)
    found = []
    for scheme, size, rules in (("light", light, None), ("light", dark, NO_COLOURS), ("dark", dark, ONLY_COLOURS)):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        page.emulate_media(color_scheme="dark" if scheme == "dark" else "light", reduced_motion="reduce")
        if scheme == "dark":
            page.wait_for_timeout(400)  # the theme changes its colours over a quarter of a second
        found += [f"{scheme}, {size[0]} px: {line}" for line in axe(page, rules)]
    return found
