"""Takes the README's picture from the built site: `.made/venv/bin/python build_scripts/screenshot.py`.

The bow in it is made up. The values go in through a link, as a club would share them.
"""

from __future__ import annotations

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent / "calc"), str(HERE.parent / "tests")]

from helpers.site import launch, serving  # noqa: E402
from quarterturn.record.link import fragment  # noqa: E402
from quarterturn.record.parsing import from_data  # noqa: E402
from site_build import build_site  # noqa: E402

PICTURE = HERE.parent / "docs" / "assets" / "readme" / "answer.png"
HEIGHT = 915

MADE_UP_BOW = {
    "bow_name": "Made-up bow",
    "bolt_family": "flat",
    "check_manual": "read",
    "check_string_off": "off",
    "check_limbs": "fine",
    "check_butt": "fine",
    "check_bolt": "fine",
    "check_match": "fine",
    "check_lock": "loose",
    "flush_way": "outside",
    "head_diameter": "19",
    **{
        f"{bolt}_{name}": value
        for bolt, touch, now in (("upper", "5 1/4", "2 1/2"), ("lower", "5", "2"))
        for name, value in {
            "touch_found": "yes",
            "touch_turns": touch,
            "now_side": "out",
            "now_turns": now,
            "rim_to_butt": "2.5",
        }.items()
    },
}


def main() -> None:
    """Take the picture."""
    link = fragment(from_data(MADE_UP_BOW).record)
    # The policy is bypassed for the style that hides what floats over a picture.
    with serving(build_site()) as server, sync_playwright() as playwright:
        browser = launch(playwright)
        page = browser.new_page(bypass_csp=True, viewport={"width": 390, "height": HEIGHT}, device_scale_factor=1.5)
        page.goto(f"{server.address}safe-range/#{link}")
        page.locator(".qt-answer[data-state=go]").wait_for(timeout=120_000)
        page.add_style_tag(content=".md-header, .qt-status { display: none !important }")
        page.wait_for_timeout(3000)  # the notes above the answer come and go
        answer = page.locator(".qt-answer").bounding_box()
        if answer is None:
            raise SystemExit("The answer is not to be seen.")
        PICTURE.parent.mkdir(parents=True, exist_ok=True)
        top = answer["y"] + page.evaluate("scrollY") - 10
        page.screenshot(path=PICTURE, full_page=True, clip={"x": 0, "y": top, "width": 390, "height": HEIGHT})
        browser.close()


if __name__ == "__main__":
    main()
