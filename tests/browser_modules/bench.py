"""One page of the fixture, driven as a reader would, and what it has asked its worker."""

from __future__ import annotations

import base64
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from web_server import Server

PREFIX = "/club/bows/"
STORED = f"quarter-turn {PREFIX} record"
ASIDE = f"quarter-turn {PREFIX} put aside"
SETTLED = ("ready", "failed")

# Every question the worker hears is noted, from before the page's first script.
LISTEN = "window.asks = []; new BroadcastChannel('asks').onmessage = (event) => window.asks.push(event.data);"


@dataclass(slots=True)
class Bench:
    """The fixture's page in one browser tab."""

    page: Page
    server: Server

    @property
    def address(self) -> str:
        """The page's address."""
        return f"{self.server.address}pages/page.html"

    def open(self, fragment: str = "") -> Bench:
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
        self.choose_in("fake", value)

    def choose_in(self, widget: str, value: str) -> None:
        """Choose a way in one of the page's calculators."""
        self.find(f"[data-widget={widget}] input[name=way][value={value}]").check()

    def act(self, name: str) -> None:
        """Press a button."""
        self.find(f"button[data-act={name}]").first.click()

    def says(self, text: str) -> None:
        """The answer's sentence."""
        expect(self.find("#said")).to_have_text(text)

    def calc(self, state: str) -> None:
        """Wait for a state of the calculator."""
        expect(self.find(".qt-widget")).to_have_attribute("data-calc", state)

    def asks(self, kind: str = "answer") -> list[dict[str, Any]]:
        """What the worker was asked so far."""
        self.page.wait_for_timeout(50)
        asked: list[dict[str, Any]] = self.page.evaluate("window.asks")
        return [ask for ask in asked if ask["ask"] == kind]

    def last_record(self) -> dict[str, Any]:
        """The record of the newest question, without its version."""
        record: dict[str, Any] = dict(self.asks()[-1]["record"])
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
    text = json.dumps({"version": 1, **record})
    return "#q1." + base64.urlsafe_b64encode(text.encode()).decode()


def kept(times: int = 1, version: int = 1, **entries: object) -> str:
    """A text as the page keeps it."""
    return json.dumps({"record": {"version": version, **entries}, "times": dict.fromkeys(entries, times)})
