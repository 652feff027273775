"""A reader's hands on the keyboard alone: Tab to go, Enter and space to press, arrows to choose, digits to type.

After every key, and before the next, something in sight has the focus, is marked, and lies under nothing else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from helpers.worksheet import Sheet

if TYPE_CHECKING:
    from playwright.sync_api import Page

FAR = 80
"""So many presses of Tab lead from anything to anything that a reader goes on with."""
LOST = """async () => {
  for (let frame = 0; frame < 2; frame += 1) await new Promise(requestAnimationFrame);
  const one = document.activeElement;
  if (one === null || one === document.body) return "nothing has the focus";
  const faces = [one, one.nextElementSibling, one.closest("label"), one.parentElement].filter(Boolean);
  const face = one.closest("label") ?? one;
  const { left, top, right, bottom, width, height } = face.getBoundingClientRect();
  const name = `${one.localName} ${one.id || one.name || one.textContent.slice(0, 30)}`;
  const inSight = [Math.max(left, 0), Math.max(top, 0), Math.min(right, innerWidth), Math.min(bottom, innerHeight)];
  if (!width || !height || inSight[0] >= inSight[2] || inSight[1] >= inSight[3]) return `${name} is out of sight`;
  const marked = faces.some((of) => {
    const { outlineStyle, outlineWidth, boxShadow } = getComputedStyle(of);
    return (outlineStyle !== "none" && parseFloat(outlineWidth) >= 1) || boxShadow !== "none";
  });
  if (!marked) return `${name} is not marked`;
  const x = (inSight[0] + inSight[2]) / 2;
  const ys = [inSight[1] + 2, (inSight[1] + inSight[3]) / 2, inSight[3] - 2];
  const isFree = (y) => {
    const at = document.elementFromPoint(x, y);
    return at !== null && (face.contains(at) || at.contains(face));
  };
  return ys.some(isFree) ? "" : `${name} lies under something`;
}"""
WAY = """(selector) => {
  const at = document.activeElement;
  const all = [...document.querySelectorAll(selector)].filter((one) => one.checkVisibility());
  if (all.length === 0) return "none";
  if (all.includes(at)) return "there";
  return at.compareDocumentPosition(all[0]) & Node.DOCUMENT_POSITION_PRECEDING ? "Shift+Tab" : "Tab";
}"""


class Keys:
    """A reader's hands on the keyboard, of whom every press is counted."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.presses = 0

    def skip(self) -> None:
        """Go past the head of a fresh page by its link for that; from there Tab goes on."""
        for _ in range(4):
            self.page.keyboard.press("Tab")
            self.presses += 1
            if self.page.evaluate("document.activeElement.matches('.md-skip')"):
                break
        self.kept()
        self.page.keyboard.press("Enter")
        self.page.keyboard.press("Tab")
        self.presses += 2
        self.kept()

    def press(self, key: str) -> None:
        """Press a key; before it and after it the focus is somewhere, in sight and marked."""
        if self.presses:
            self.kept()
        self.page.keyboard.press(key)
        self.presses += 1
        self.kept()

    def kept(self) -> None:
        """What has the focus can be seen to have it."""
        lost = self.page.evaluate(LOST)
        assert lost == "", lost

    def go(self, selector: str) -> None:
        """Go there by Tab, or back by Shift and Tab."""
        Sheet(self.page).settled()
        for _ in range(FAR):
            way = self.page.evaluate(WAY, selector)
            if way == "there":
                return
            assert way != "none", f"{selector} is nowhere to be seen"
            self.press(way)
        raise AssertionError(f"{selector} is not reached")

    def tap(self, selector: str) -> None:
        """Press a button: by Enter and by space, in turns."""
        self.go(selector)
        self.press("Enter" if self.presses % 2 else "Space")

    def fill(self, name: str, text: str) -> None:
        """Type into a box, over what stands there."""
        self.unfold(f"#field-{name}")
        self.go(f"#f-{name}")
        self.presses += len(text)
        self.page.keyboard.type(text)
        self.kept()

    def choose(self, name: str, value: str) -> None:
        """Choose an answer by the arrows."""
        self.unfold(f"#field-{name}")
        self.go(f"#field-{name} input[type=radio]")
        for key in ("Space", *["ArrowDown"] * 12):
            if self.page.evaluate("document.activeElement.checked && document.activeElement.value") == value:
                return
            self.press(key)
        raise AssertionError(f"{name} cannot be {value}")

    def unfold(self, selector: str) -> None:
        """Open by Enter what something is folded in."""
        inside = self.page.locator(f"details:not([open]):has({selector})")
        while inside.count():
            key = inside.first.locator("> summary").evaluate("(one) => (one.id ||= `fold-${Math.random()}`.slice(7))")
            self.go(f"[id='{key}']")
            self.press("Enter")

    def focused(self) -> str:
        """The place of an answer that the focus is in: "WIDGET/NAME"; "" where it is in none."""
        return str(self.page.evaluate("document.activeElement.closest('[data-spot]')?.dataset.spot ?? ''"))
