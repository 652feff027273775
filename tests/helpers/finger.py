"""A finger on a phone: real touch events, so that Chromium itself decides whether a touch scrolls the page.

The events go in by the browser's own protocol (`Input.dispatchTouchEvent`), as those of a touch screen do.
"""

from __future__ import annotations

import json
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from helpers.site import watched_context

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, CDPSession, Page

    from helpers.site import Watch

PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}

QUIET_WORKER = """
window.asked = [];
const Real = Worker;
class Quiet {
  constructor() {
    this.#tell({ ready: true });
  }
  postMessage({ id, ask }) {
    window.asked.push(ask);
    this.#tell({ id, answer: JSON.stringify({ html: null, state: "example", problems: [], notes: [] }) });
  }
  terminate() {}
  #tell(data) {
    setTimeout(() => this.onmessage?.({ data }));
  }
}
globalThis.Worker = function (address, options) {
  return options?.name === "calculator" ? new Quiet() : new Real(address, options);
};
"""
"""A worker that notes what it is asked and leaves the built answer as it is: nothing has to start."""

Point = tuple[float, float]

STRAIGHT, SLANTED, SLOW, HELD, BRISK = "straight", "slanted", "slow", "held", "brisk"
SWIPES: dict[str, dict[str, Any]] = {
    STRAIGHT: {"by": (0, 220), "moves": 6, "every": 16, "rest": 0},
    SLANTED: {"by": (90, 220), "moves": 6, "every": 16, "rest": 0},
    SLOW: {"by": (6, 90), "moves": 20, "every": 25, "rest": 0},
    HELD: {"by": (0, 160), "moves": 5, "every": 16, "rest": 350},
    BRISK: {"by": (12, 120), "moves": 2, "every": 4, "rest": 0},
}
"""Ways to swipe over the page: so far (px), in so many moves, so many ms from one to the next, after a rest."""


@contextmanager
def phone(browser: Browser, watch: Watch, *, quiet: bool = True) -> Iterator[Page]:
    """Open one watched page on a phone; with `quiet` it has a worker that answers nothing."""
    with watched_context(browser, watch, **PHONE) as context:
        if quiet:
            context.add_init_script(QUIET_WORKER)
        yield context.new_page()


@dataclass(slots=True)
class Finger:
    """One finger, or two, on a page."""

    page: Page
    screen: CDPSession

    @classmethod
    def of(cls, page: Page) -> Finger:
        """A finger for this page."""
        return cls(page, page.context.new_cdp_session(page))

    def _send(self, kind: str, *points: Point) -> None:
        fingers = [{"x": x, "y": y, "id": place} for place, (x, y) in enumerate(points)]
        self.screen.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})

    def down(self, *points: Point) -> None:
        """Put down as many fingers as there are points (those that are down already are named again)."""
        self._send("touchStart", *points)

    def move(self, *points: Point) -> None:
        """Move the fingers there."""
        self._send("touchMove", *points)

    def up(self) -> None:
        """Lift all fingers."""
        self._send("touchEnd")

    def path(self, start: Point, end: Point, *, moves: int = 8, every: int = 16) -> None:
        """Move one finger, which is down, along a line."""
        for place in range(1, moves + 1):
            self.page.wait_for_timeout(every)
            part = place / moves
            self.move((start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part))

    def swipe(self, at: Point, kind: str = STRAIGHT, *, up: bool = True) -> None:
        """Swipe over the page from a point in one of the ways of SWIPES."""
        way = SWIPES[kind]
        dx, dy = way["by"]
        end = (at[0] + dx, at[1] + (-dy if up else dy))
        self.down(at)
        self.page.wait_for_timeout(way["rest"])
        self.path(at, end, moves=way["moves"], every=way["every"])
        self.page.wait_for_timeout(50)  # without speed the page does not run on
        self.up()
        self.rest()

    def tap(self, at: Point) -> None:
        """Tap."""
        self.down(at)
        self.page.wait_for_timeout(40)
        self.up()
        self.rest()

    def drag(self, at: Point, dx: float, *, moves: int = 8) -> None:
        """Drag sideways, as level as a hand does."""
        self.down(at)
        self.path(at, (at[0] + dx, at[1] + 6), moves=moves)
        self.up()
        self.rest()

    def pinch(self, at: Point) -> None:
        """Put two fingers down, one after the other, the first on a point, and move them apart."""
        x, y = at
        self.down((x, y))
        self.page.wait_for_timeout(30)
        self.down((x, y), (x + 40, y - 60))
        for place in range(1, 7):
            self.page.wait_for_timeout(16)
            self.move((x - 6 * place, y + 8 * place), (x + 40 + 6 * place, y - 60 - 8 * place))
        self.up()
        self.rest()

    def rest(self) -> None:
        """Wait until the page has stopped scrolling and has heard all that the touch brings."""
        self.page.evaluate(
            """() => new Promise((resolve) => {
              let last = scrollY, still = 0;
              const look = () => {
                still = scrollY === last ? still + 1 : 0;
                last = scrollY;
                if (still < 2) requestAnimationFrame(look);
                else resolve();
              };
              requestAnimationFrame(look);
            })"""
        )

    @property
    def scrolled(self) -> float:
        """How far the page is scrolled down."""
        return float(self.page.evaluate("scrollY"))


def asked(page: Page) -> list[Any]:
    """What the quiet worker has been asked."""
    return [json.loads(text) for text in page.evaluate("window.asked")]
