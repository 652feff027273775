"""How long a page is, and what of it is open at first: heights, words, boxes, where the first picture is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Page

MEASURE = """() => {
  const page = document.querySelector(".qt-page");
  const seen = (one) => one.checkVisibility({ visibilityProperty: true });
  const outside = ".qt-form, svg, .qt-foot, .qt-spot, .qt-banner, .qt-strip-button";
  let words = 0;
  const walk = document.createTreeWalker(page, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const parent = node.parentElement;
    if (!parent || parent.closest(outside) || !seen(parent)) continue;
    words += node.textContent.split(/\\s+/).filter((word) => /[\\p{L}\\d]/u.test(word)).length;
  }
  const drawn = [...page.querySelectorAll("svg.qt-figure")];
  const figures = drawn.filter((one) => seen(one) && !one.closest(".qt-strip-button"));
  const first = figures[0]?.getBoundingClientRect();
  return {
    height: document.documentElement.scrollHeight,
    words,
    boxes: [...page.querySelectorAll(".qt-field")].filter(seen).length,
    top: first ? first.top + scrollY : -1,
    tall: first ? first.height : 0,
    wide: document.documentElement.scrollWidth,
  };
}"""


LETTERS = """() => {
  for (const fold of document.querySelectorAll("details")) fold.open = true;
  const found = {};
  for (const drawing of document.querySelectorAll("svg.qt-figure")) {
    const box = drawing.getBoundingClientRect();
    if (drawing.closest(".qt-strip-button") || box.width === 0) continue;
    const scale = box.width / drawing.viewBox.baseVal.width;
    for (const words of drawing.querySelectorAll("text")) {
      if (!words.checkVisibility()) continue;
      (found[drawing.id] ??= []).push(scale * parseFloat(getComputedStyle(words).fontSize));
    }
  }
  return found;
}"""


HOLLOW = """() => {
  const shows = (node) => {
    if (node instanceof Text) return node.textContent.trim() !== "";
    if (!(node instanceof Element) || getComputedStyle(node).display === "none") return false;
    return node.matches("svg, img, input, select, button") || [...node.childNodes].some(shows);
  };
  return [...document.querySelectorAll("details")]
    .filter((fold) => fold.checkVisibility())
    .filter((fold) => ![...fold.childNodes].some((one) => one.nodeName !== "SUMMARY" && shows(one)))
    .map((fold) => fold.querySelector("summary")?.textContent.trim());
}"""


def hollow_folds(page: Page) -> list[str]:
    """What stands over folds that open onto nothing; without a touch of any."""
    found: list[str] = page.evaluate(HOLLOW)
    return found


@dataclass(frozen=True, slots=True)
class Measured:
    """A page as it opens: px, words, boxes and questions; where its first picture begins and how tall it is."""

    height: int
    words: int
    boxes: int
    top: float
    tall: float
    wide: int


def measure(page: Page) -> Measured:
    """Measure the page that is open."""
    found: dict[str, Any] = page.evaluate(MEASURE)
    return Measured(**found)


def letters(page: Page) -> dict[str, list[float]]:
    """How large the words in each picture of the page are, px; all folds are opened."""
    found: dict[str, list[float]] = page.evaluate(LETTERS)
    return found


def fit(page: Page, width: int, height: int = 844) -> None:
    """Make the window so large; the page must not scroll sideways in it.

    What the theme moves by a transition, and what scripts fit to the window, follows it a little later.
    """
    page.set_viewport_size({"width": width, "height": height})
    wide = "document.documentElement.scrollWidth"
    for _ in range(40):
        if page.evaluate(wide) <= width:
            break
        page.wait_for_timeout(50)
    assert page.evaluate(wide) <= width, f"{page.url} scrolls sideways in {width} px"
