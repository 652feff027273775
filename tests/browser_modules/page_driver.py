"""One page of the fixture, driven as a reader would, and what it has asked its worker."""

from __future__ import annotations

import base64
import json
import time
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from playwright.sync_api import expect

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Locator, Page

    from web_server import Server

PREFIX = "/club/bows/"
STORED = f"quarter-turn {PREFIX} record"
ASIDE = f"quarter-turn {PREFIX} put aside"

# How long to wait for anything at all, in milliseconds: a busy machine is slow, and what holds comes early anyway.
PATIENCE = 30_000
# The page's own waiting times, in milliseconds: data-start-silence and data-answer-time of the fixture's page. Nothing
# real takes so long; a test of what happens then lets the page's clock jump (`own_clock`, `pass_time`).
START_SILENCE = ANSWER_TIME = 600_000

# Every question is noted as it goes to a worker, from before the page's first script.
LISTEN = """
window.asks = [];
window.releases = new BroadcastChannel("releases");
const post = Worker.prototype.postMessage;
Worker.prototype.postMessage = function (message, ...others) {
  window.asks.push(JSON.parse(message.ask));
  return post.call(this, message, ...others);
};
"""
# Nothing runs and nothing waits: every question has been asked, and answered unless the worker has failed.
SETTLED = """() => [...document.querySelectorAll(".qt-page")]
  .every((page) => ["ready", "failed"].includes(page.dataset.calc))"""
STEPS = ("0.0", "1.5", "3.0")


def wait_until(page: Page, holds: Callable[[], bool], what: str) -> None:
    """Wait for something that Playwright cannot wait for itself."""
    end = time.monotonic() + PATIENCE / 1000
    while not holds():
        assert time.monotonic() < end, f"in vain waited for: {what}"
        page.wait_for_timeout(20)


@dataclass(slots=True)
class PageDriver:
    """The fixture's page in one browser tab."""

    page: Page
    server: Server
    name: str = "page"

    @property
    def address(self) -> str:
        """The page's address."""
        return f"{self.server.address}pages/{self.name}.html"

    def open(self, fragment: str = "") -> PageDriver:
        """Open the page, as a new visit of the same browser."""
        self.page.goto("about:blank")
        self.page.goto(self.address + fragment)
        return self

    def plan(self, **plan: object) -> None:
        """Say how the next worker starts."""
        self.server.site.replaced["runtime/abc/plan.json"] = json.dumps(plan).encode()

    def find(self, selector: str) -> Locator:
        """A part of the page."""
        return self.page.locator(selector)

    def type(self, name: str, text: str) -> None:
        """Type a text into a field in place of what was there."""
        self.find(f"#f-{name}").fill(text)

    def choose(self, value: str) -> None:
        """Choose a way."""
        self.find(f"input[name=way][value={value}]").check()

    def act(self, name: str) -> None:
        """Press a button."""
        self.find(f"button[data-act={name}]").first.click()

    def says(self, text: str) -> None:
        """The answer's sentence."""
        expect(self.find("#said")).to_have_text(text)

    def calc(self, state: str) -> None:
        """Wait for a state of the calculator."""
        expect(self.find(".qt-page")).to_have_attribute("data-calc", state)

    def asks(self, kind: str = "answer") -> list[dict[str, Any]]:
        """What the worker has been asked once nothing is under way any more."""
        self.page.wait_for_function(SETTLED)
        return self.asks_so_far(kind)

    def asks_so_far(self, kind: str = "answer") -> list[dict[str, Any]]:
        """What the worker has been asked, an answer perhaps still owed."""
        asked: list[dict[str, Any]] = self.page.evaluate("window.asks")
        return [ask for ask in asked if ask["ask"] == kind]

    def asked(self, name: str, times: int = 1) -> None:
        """Wait until the worker has been asked about a bow of this name so many times."""

        def heard() -> bool:
            return len([ask for ask in self.asks_so_far() if ask["record"].get("name") == {"typed": name}]) >= times

        wait_until(self.page, heard, f"question {times} about {name!r}")

    def release(self) -> None:
        """Let the worker, which holds, go on by one step."""
        self.page.evaluate("window.releases.postMessage('on')")

    def step(self, loaded: str) -> None:
        """Wait for a step of a start that holds (`plan(hold=True)`)."""
        expect(self.find(".qt-stage")).to_have_text(f"Fetching the calculator: {loaded} of 3.0 MB")

    def let_start(self) -> None:
        """Lead a start that holds to its end."""
        for loaded in STEPS:
            self.step(loaded)
            self.release()

    def own_clock(self) -> None:
        """Give the page a clock of its own, before it is opened. It runs, from a noon on, and `pass_time` lets it jump.

        A jump over midnight would be another day's question.
        """
        self.page.clock.install(time=f"{date.today().isoformat()}T12:00:00")

    def pass_time(self, milliseconds: int) -> None:
        """Let the page's own clock jump; the worker has another."""
        self.page.clock.fast_forward(milliseconds)

    def last_record(self) -> dict[str, Any]:
        """The record of the newest question, without its version."""
        asked = self.asks()
        assert asked, "nothing was asked"
        record: dict[str, Any] = dict(asked[-1]["record"])
        assert record.pop("version") == 1
        return record

    def value(self, name: str) -> str:
        """What stands in a box."""
        return self.find(f"#f-{name}").input_value()

    def stored(self, key: str = STORED) -> Any:
        """What the browser keeps, read as JSON; None where there is nothing."""
        text = self.page.evaluate("key => localStorage.getItem(key)", key)
        return None if text is None else json.loads(text)

    def keep(self, text: str) -> None:
        """Put a text into the storage from outside, as an earlier visit would have."""
        self.page.goto(f"{self.server.address}pages/blank.html")
        self.page.evaluate("([key, text]) => localStorage.setItem(key, text)", [STORED, text])


def fragment(record: dict[str, Any]) -> str:
    """A link's fragment as the stand-in worker writes it."""
    text = json.dumps({"version": 1, **record}, separators=(",", ":"))
    return "#q1." + base64.urlsafe_b64encode(text.encode()).decode()


def kept(times: int = 1, version: int = 1, **entries: object) -> str:
    """A text as the page keeps it."""
    return json.dumps({"record": {"version": version, **entries}, "times": dict.fromkeys(entries, times)})
