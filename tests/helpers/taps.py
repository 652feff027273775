"""A reader's finger on a phone, whose taps are counted: it touches only what is there to be seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Page


class Finger:
    """A reader's finger on a phone: it counts its taps and the boxes it fills in."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = 0
        self.boxes = 0

    def tap(self, selector: str) -> None:
        """Tap what is there to be seen; what is folded away is no use to a finger."""
        target = self.page.locator(selector).first
        expect(target).to_be_visible()
        target.tap()
        self.taps += 1

    def fill(self, name: str, text: str) -> None:
        """Type into a box."""
        box = self.page.locator(f"#f-{name}")
        if not box.is_visible():
            self.open(f"#field-{name}")
        box.fill(text)
        self.boxes += 1

    def choose(self, name: str, value: str) -> None:
        """Choose an answer."""
        option = f'#field-{name} label:has(input[value="{value}"])'
        if not self.page.locator(option).is_visible():
            self.open(f"#field-{name}")
        self.tap(option)

    def open(self, selector: str) -> None:
        """Open the step or fold that something is in."""
        inside = self.page.locator(f"details:not([open]):has({selector})")
        while inside.count():
            inside.first.locator("> summary").tap()
            self.taps += 1
