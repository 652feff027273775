"""How quick an answer is: from moving a slider to the changed page, for every page with a calculator.

    .made/venv/bin/python build_scripts/measure_answers.py [--changes 100]

Opens the built site in headless Chromium, moves the sliders of each form (or takes the answers of a form that has
none, in turns), one after the other, and measures from the event to the moment the answer's first part, and the whole
of it, stands in the page. A frame at 60 a second is 16.7 ms. Not a test: it is for people who change what is computed
or drawn.
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

PAGES = {
    "start": "",
    "inspection": "before/",
    "pocket": "pocket/",
    "loads": "load/",
    "draw-weight": "draw-weight/",
    "tiller": "tiller/",
    "plan": "plan/",
    "carry-out": "carry-out/",
    "log": "log/",
    "after": "after/",
    "paper": "paper/",
    "safe-range": "safe-range/",
}
SCRIPT = """
async (changes) => {
  const section = document.querySelector(".qt-page");
  const whole = () => Number(section.dataset.answers ?? 0);
  const first = () => Number(section.dataset.first ?? 0) + whole();
  const seen = (control) => control.offsetParent !== null || control.closest("details");
  // Those that the record holds, and those of the view: what was not entered stays so.
  const held = (control) => control.closest(".qt-field:not(.qt-unset), [data-scope=view]") !== null;
  const sliders = [...section.querySelectorAll("[data-slider-of]")].filter((one) => seen(one) && held(one));
  const choices = [...section.querySelectorAll("input[type=radio]")].filter(seen);
  const set = (place) => {
    if (sliders.length > 0) {
      const slider = sliders[place % sliders.length];
      const { min, max, step } = slider;
      // Every slider near where it stands, so that the record stays one that is answered.
      const now = Number(slider.value), by = Number(step) * (1 + (place % 3));
      slider.value = String(now + by <= Number(max) && place % 2 ? now + by : Math.max(Number(min), now - by));
      slider.dispatchEvent(new Event("input", { bubbles: true }));
    } else {
      const radio = choices[place % choices.length];
      radio.checked = true;
      radio.dispatchEvent(new Event("input", { bubbles: true }));
    }
  };
  const taken = [];
  for (let place = 0; place < changes; place += 1) {
    const before = { first: first(), whole: whole() };
    const started = performance.now();
    const times = { first: null, whole: null };
    const done = new Promise((resolve) => {
      const watch = new MutationObserver(() => {
        if (first() > before.first) times.first ??= performance.now() - started;
        if (whole() > before.whole) times.whole ??= performance.now() - started;
        if (times.whole !== null) { watch.disconnect(); resolve(times); }
      });
      watch.observe(section, { attributes: true, attributeFilter: ["data-answers", "data-first"] });
      setTimeout(() => { watch.disconnect(); resolve(null); }, 1000);
    });
    set(place);
    taken.push(await done);
    await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
  }
  return taken;
}
"""


def measured(page: Page, address: str, changes: int) -> dict[str, list[float]]:
    """Return the milliseconds of every change of one page, to its first part and to the whole, after ten to warm up."""
    from helpers.asking import COMPLETE
    from quarterturn.record import link
    from quarterturn.record.parsing import from_data

    # A whole made-up bow, so that what is measured is an answer and no refusal or example.
    page.goto(f"{address}#{link.fragment(from_data(COMPLETE).record)}")
    page.wait_for_selector(".qt-page[data-calc=ready]", timeout=60_000)
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

    with Server(Site(build_site())) as server, sync_playwright() as playwright:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        browser = launch(playwright)
        print(f"{'':14}{'changes':>9}{'first, median':>14}{'95 %':>9}{'whole, median':>14}{'95 %':>9}")
        for name, path in PAGES.items():
            page = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
            taken = measured(page, server.address + path, chosen.changes)
            print(f"{name:14}{len(taken['whole']):9}{told(taken['first'])}{told(taken['whole'])}", flush=True)
            page.context.close()
        browser.close()
        server.shutdown()
    return 0


if __name__ == "__main__":
    sys.exit(main())
