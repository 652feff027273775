"""What axe-core finds on a page, in both schemes and at both widths.

axe-core comes with the package axe-playwright-python. It is evaluated in the page; the page's policy is left in force.
"""

from __future__ import annotations

from importlib import resources
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable

    from playwright.sync_api import Page

WORST = ("serious", "critical")
PHONE, DESKTOP = (390, 844), (1280, 800)
RUN = "(rules) => axe.run(document, { resultTypes: ['violations'], ...rules })"
LESSER = """(worst) => axe._audit.rules.filter((rule) => !worst.includes(rule.impact)).map((rule) => rule.id)"""
"""The rules whose findings are never as grave as that: a fifth of the time goes into them."""
RUN_ON_SAMPLES = """(rules) => {
  const seen = new Map();
  const grounds = new Map();
  const ground = (one) => {
    if (one === null) return "";
    if (!grounds.has(one)) {
      const { backgroundColor, backgroundImage, opacity } = getComputedStyle(one);
      grounds.set(one, `${ground(one.parentElement)} ${backgroundColor} ${backgroundImage} ${opacity}`);
    }
    return grounds.get(one);
  };
  for (const one of document.body.querySelectorAll("*")) {
    const says = [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim() !== "");
    if (!says && !(one instanceof HTMLInputElement) && !(one instanceof HTMLSelectElement)) continue;
    if (!one.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
    const { color, fontSize, fontWeight, textDecorationLine } = getComputedStyle(one);
    const around = getComputedStyle(one.parentElement).color;
    const kind = [one.localName, one.className, color, fontSize, fontWeight, textDecorationLine, around];
    const key = `${kind.join(" | ")} on ${ground(one)}`;
    if (!seen.has(key)) seen.set(key, one);
  }
  return axe.run({ include: [...seen.values()] }, { resultTypes: ["violations"], ...rules });
}"""
"""Runs rules on colours on the first of all elements with words that look alike: in kind, colours, size and ground.

To look at each of some thousand words takes nine tenths of the time, and says of all like it what it says of one.
"""
COLOURS = ["color-contrast", "link-in-text-block"]
"""Of the rules that are looked at without being asked for, those on colours."""
ONLY_COLOURS: dict[str, Any] = {"runOnly": COLOURS}


def without(rules: Iterable[str]) -> dict[str, Any]:
    """All rules but these."""
    return {"rules": {name: {"enabled": False} for name in rules}}


NO_COLOURS = without(COLOURS)


def axe(page: Page, rules: dict[str, Any] | None = None, *, every: bool = False) -> list[str]:
    """The serious and critical findings on a page as it is, or every one, a line each, by all rules or by some."""
    if page.evaluate("typeof globalThis.axe") == "undefined":
        page.evaluate(resources.files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8"))
    found: list[dict[str, Any]] = []
    for some in (NO_COLOURS, ONLY_COLOURS) if rules is None else (rules,):
        if some == ONLY_COLOURS:
            told = page.evaluate(RUN_ON_SAMPLES, some)
        elif some == NO_COLOURS and not every:
            told = page.evaluate(RUN, without([*COLOURS, *page.evaluate(LESSER, WORST)]))
        else:
            told = page.evaluate(RUN, some)
        assert "violations" in told
        found += told["violations"]
    return [
        f"{one['impact']} {one['id']}: {one['nodes'][0]['target']} {one['nodes'][0]['failureSummary']}"
        for one in found
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
