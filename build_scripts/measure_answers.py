"""How quick an answer is: from moving a slider to the changed page, for every page with calculators.

    .made/venv/bin/python build_scripts/measure_answers.py [--changes 100]

Opens the built site in headless Chromium, moves the sliders under its pictures and changes the numbers in its boxes (or
takes the answers of a page that has neither, in turns), one after the other, and measures from the event to the moment
the first part of an answer, and all answers of the page, stand there. A
frame at 60 a second is 16.7 ms. Not a test: it is for people who change what is computed or drawn.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import threading
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

from places import ROOT
from site_build import build_site
from web_server import Server, Site

sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "calc")]

if TYPE_CHECKING:
    from playwright.sync_api import Page

SCRIPT = """
async (changes) => {
  const section = document.querySelector(".qt-page");
  const told = () => Number(section.dataset.answers ?? 0) + Number(section.dataset.first ?? 0);
  const settled = () => section.dataset.calc === "ready";
  // Pictures that are turned, and numbers that the record holds: what was not entered stays so.
  const hands = [...section.querySelectorAll(".qt-hand input[type=range]")];
  const boxes = [...section.querySelectorAll(".qt-form:not([hidden]) .qt-field:not(.qt-unset) input[type=text]")]
    .filter((box) => !box.closest("tr") && Number(box.value) > 0);
  const choices = [...section.querySelectorAll(".qt-form:not([hidden]) input[type=radio]")];
  const controls = hands.length + boxes.length > 0 ? [...hands, ...boxes] : choices;
  const first = new Map(boxes.map((box) => [box, Number(box.value)]));
  const set = (place) => {
    const control = controls[place % controls.length];
    const round = Math.floor(place / controls.length);
    if (control.type === "radio") control.checked = true;
    else if (control.type === "text") {
      control.value = String(Number((first.get(control) * (1 + (round % 4) / 100)).toPrecision(4)));
    } else {
      const now = Number(control.value), by = Number(control.step) * (1 + (place % 3));
      const up = round % 2 && now + by <= Number(control.max);
      control.value = String(up ? now + by : Math.max(Number(control.min), now - by));
    }
    control.dispatchEvent(new Event("input", { bubbles: true }));
  };
  const taken = [];
  for (let place = 0; place < changes; place += 1) {
    const before = told();
    const started = performance.now();
    const times = { first: null, whole: null };
    const done = new Promise((resolve) => {
      const watch = new MutationObserver(() => {
        if (told() > before) times.first ??= performance.now() - started;
        if (times.first === null || !settled()) return;
        times.whole = performance.now() - started;
        watch.disconnect();
        resolve(times);
      });
      watch.observe(section, { attributes: true, attributeFilter: ["data-answers", "data-first", "data-calc"] });
      setTimeout(() => { watch.disconnect(); resolve(null); }, 1000);
    });
    set(place);
    taken.push(await done);
    await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
  }
  return taken;
}
"""


def measured(page: Page, server: Server, path: str, changes: int) -> dict[str, list[float]]:
    """Return the milliseconds of every change of one page, to its first part and to the whole, after ten to warm up."""
    from helpers.asking import COMPLETE, LOOKED_OVER, STRUNG
    from helpers.worksheet import open_own

    # A whole made-up bow, so that what is measured is an answer and no refusal or example.
    open_own(page, server, COMPLETE | LOOKED_OVER | STRUNG, path)
    page.wait_for_selector(".qt-page[data-answers]")
    taken = page.evaluate(SCRIPT, changes + 10)
    times = [one for one in taken[10:] if one is not None]
    return {part: sorted(float(one[part]) for one in times) for part in ("first", "whole")}


def told(taken: list[float]) -> str:
    """Median and 95 %."""
    high = taken[min(len(taken) - 1, int(0.95 * len(taken)))]
    return f"{statistics.median(taken):14.1f}{high:9.1f}"


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure how quick an answer is, page by page.")
    parser.add_argument("--changes", type=int, default=100)
    chosen = parser.parse_args()
    from helpers.site import launch
    from helpers.worksheet import MAIN

    with Server(Site(build_site())) as server, sync_playwright() as playwright:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        browser = launch(playwright)
        print(f"{'':14}{'changes':>9}{'first, median':>14}{'95 %':>9}{'whole, median':>14}{'95 %':>9}")
        for path in MAIN:
            page = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
            taken = measured(page, server, path, chosen.changes)
            print(
                f"{path or 'start':14}{len(taken['whole']):9}{told(taken['first'])}{told(taken['whole'])}", flush=True
            )
            page.context.close()
        browser.close()
        server.shutdown()
    return 0


if __name__ == "__main__":
    sys.exit(main())
