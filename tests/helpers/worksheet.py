"""The worksheet of the built site as a reader uses it: open it, enter a record, read the answer that stands there."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from quarterturn.record.field_types import AnyField, ChoiceField, DateField, NumberField
from quarterturn.record.fields import BOLTS, BY_NAME, FIELDS
from quarterturn.record.parsing import from_data
from quarterturn.widgets.render import BASE_MARK

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from web_server import Server

Record = dict[str, Any]
TODAY = date.today().isoformat()
THEN = 1_780_000_000_000
"""A day in May 2026, in milliseconds: when a bow that lies on the bench was entered."""
Shown = dict[str, dict[str, str | None]]

PATIENCE = 90_000
"""Milliseconds: two cores that others use too may take long over a first start. A page that is right ends it sooner."""

KEEP_WORKER = """
globalThis.Worker = class extends Worker {
  constructor(...words) {
    super(...words);
    globalThis.qtWorker = this;
  }
};
"""
"""Lets a test reach the page's own worker. The page's script is left as it is."""

ASK_WORKER = """(questions) => new Promise((resolve) => {
  const answers = [];
  const hear = ({ data }) => {
    if (!String(data.id).startsWith("test ")) return;
    answers.push(data.answer);
    if (answers.length < questions.length) return;
    qtWorker.removeEventListener("message", hear);
    resolve(answers);
  };
  qtWorker.addEventListener("message", hear);
  questions.forEach((ask, at) => qtWorker.postMessage({ id: `test ${at}`, ask }));
})"""

READ_VALUES = """(page, widget) => Object.fromEntries(
  [...page.querySelectorAll(`[id^="v-${widget}-"][data-name]`)]
  .filter((one) => one.id === `v-${widget}-${one.dataset.name}`)
  .map((one) => [
  one.dataset.name,
  {
    value: one.dataset.value ?? null,
    unit: one.dataset.unit ?? null,
    uncertainty: one.dataset.uncertainty ?? null,
    label: one.querySelector("dt").textContent,
    text: one.querySelector(".qt-value-text").textContent,
    status: one.querySelector(".qt-value-status").textContent,
    note: one.querySelector(".qt-value-note")?.textContent ?? "",
  },
]))"""

ENTER = """(entries) => {
  const send = (element, kind) => element.dispatchEvent(new Event(kind, { bubbles: true }));
  const entered = [];
  for (const { name, typed, unit } of entries) {
    const field = document.getElementById(`field-${name}`);
    const other = field?.closest(".qt-bolt")?.querySelector("[data-switch-bolt]");
    if (other?.checkVisibility()) other.click();
    if (!field?.checkVisibility()) continue;
    entered.push(name);
    const radios = [...field.querySelectorAll("input[type=radio]")];
    if (radios.length > 0) {
      radios.find((radio) => radio.value === typed).click();
      continue;
    }
    const units = field.querySelector("[data-unit-of]");
    if (units && unit && units.value !== unit) {
      units.value = unit;
      send(units, "input");
      send(units, "change");
    }
    const box = document.getElementById(`f-${name}`);
    box.value = typed;
    send(box, "input");
  }
  return entered;
}"""
"""Enters field after field, with the events that a reader's hand would cause; a field out of sight is left out.

On a narrow page, which shows one bolt at a time, the other is switched to.
"""

BRING = """([record, days, time]) => {
  const elsewhere = Object.entries(record).filter(([name]) => !document.getElementById(`field-${name}`));
  if (elsewhere.length === 0) return false;
  const site = new URL(document.querySelector(".qt-page").dataset.base, location.href);
  const key = `quarter-turn ${site.pathname} record`;
  const kept = JSON.parse(localStorage.getItem(key) ?? '{"record": {"version": 1}, "times": {}}');
  const plain = (entry) => JSON.stringify(typeof entry === "object" ? entry : { typed: String(entry) });
  const brought = elsewhere.filter(([name, entry]) => plain(kept.record[name] ?? {}) !== plain(entry));
  if (brought.length === 0) return false;
  for (const [name, entry] of [...brought, ...Object.entries(days).filter(([name]) => !(name in kept.record))]) {
    kept.record[name] = entry;
    kept.times[name] = Math.max(time, (kept.times[name] ?? 0) + 1);
  }
  localStorage.setItem(key, JSON.stringify(kept));
  return true;
}"""
"""Puts what the page has no box for beside what this browser keeps, as if entered on another page before."""

OPEN = """() => {
  for (const one of document.querySelectorAll("details:not([data-spot] *, [data-zone] *)")) one.open = true;
}"""

BLANK = "blank.html"
"""A page of the site's origin without scripts. It names an icon: of a page that names none, a browser with windows asks
for /favicon.ico, and the answer "not found" stands on its console."""
KEEP = """([root, kept]) => {
  for (const [key, text] of Object.entries(kept)) {
    localStorage.setItem(`quarter-turn ${new URL(root).pathname} ${key}`, text);
  }
}"""

READ_PLACES = """(page, widget) => Object.fromEntries(
  [...page.querySelectorAll(`[data-spot^="${widget}/"], [data-zone^="${widget}/"]`)]
  .map((one) => {
    const copy = one.cloneNode(true);
    for (const fold of copy.querySelectorAll("details")) fold.open = false;
    for (const left of copy.querySelectorAll('[class=""]')) left.removeAttribute("class");
    return [one.dataset.spot ?? `${one.dataset.zone} zone`, copy.innerHTML.trim()];
  }))"""
"""What stands in each place that the page has for a calculator's answer; what the reader unfolded is folded.

The theme marks what has the focus by a class, and leaves an empty one behind.
"""

AS_PARSED = """(page, [texts, mark]) => Object.fromEntries(Object.entries(texts).map(([place, html]) => {
  const template = document.createElement("template");
  template.innerHTML = html.replaceAll(mark, page.dataset.base ?? "");
  for (const fold of template.content.querySelectorAll("details")) fold.open = false;
  return [place, template.innerHTML.trim()];
}))"""
"""HTML as the page shows it, with its own way to other pages, as a browser writes it again after reading."""


PAGE_OF = {
    "start": "",
    "inspection": "before/",
    "pocket": "pocket/",
    "paper": "pocket/",
    "loads": "load/",
    "safe-range": "safe-range/",
    "tiller": "bow/",
    "draw-weight": "bow/",
    "plan": "set/",
    "carry-out": "set/",
    "after": "after/",
    "card": "keep/",
    "log": "keep/",
    "practice": "practice/",
    "lessons": "lessons/",
    "rack": "rack/",
}
"""On which page a calculator answers."""
MAIN = {path: widget for widget, path in reversed(PAGE_OF.items())}
"""Whose verdict a page shows under its heading."""


def request(record: Record, widget: str = "safe-range") -> str:
    """The question for a record, as the worker gets it."""
    return json.dumps({"ask": "answer", "widget": widget, "record": record})


def as_entered(record: Record) -> Record:
    """A record as it is once it was entered in a form: with a first answer to the inspection comes today's day."""
    days = {field.dated_by: TODAY for field in map(BY_NAME.get, record) if field is not None and field.dated_by}
    return days | record


@dataclass(slots=True)
class Sheet:
    """The worksheet on a page that is open."""

    page: Page
    widget: str = "safe-range"
    """The calculator whose answer is read."""

    @property
    def is_first(self) -> bool:
        """Whether it is the calculator whose verdict the page shows."""
        return MAIN[PAGE_OF[self.widget]] == self.widget

    @property
    def left_out(self) -> set[str]:
        """The zones of which the page shows nothing: cautions and the next page are of the page's first calculator."""
        return {"aside"} if self.is_first else {"aside", "end", "next"}

    @property
    def section(self) -> Locator:
        """Form, tools, news and answers: all that the page's script has in hand."""
        return self.page.locator(".qt-page")

    def spot(self, name: str) -> Locator:
        """Where a piece of the answer stands, if it has a place of its own on the page."""
        return self.page.locator(f'[data-spot="{self.widget}/{name}"]')

    @property
    def headline(self) -> Locator:
        """What is said of the reader's own bow, under the heading."""
        return self.spot("headline")

    @property
    def top(self) -> Locator:
        """What must be read first, under the headline: findings, warnings, the way back."""
        return self.page.locator(f'[data-zone="{self.widget}/top"]')

    @property
    def answer(self) -> Locator:
        """The part of the answer that has no place of its own: numbers and tables."""
        return self.page.locator(f"#answer-{self.widget}")

    @property
    def verdict(self) -> Locator:
        """The verdict of the answer that stands there; a page has one."""
        return self.spot("verdict").locator(".qt-verdict")

    def state(self) -> str:
        """What kind of answer stands there, as the renderer wrote it; a page's other calculators show no verdict."""
        if self.is_first:
            return self.verdict.get_attribute("data-state") or ""
        return (self.answer.get_attribute("data-state") or "").replace("begun", "example")

    def places(self) -> dict[str, str]:
        """What stands in each place of the answer, by spot ("WIDGET/PIECE") or zone ("WIDGET/ZONE zone")."""
        found: dict[str, str] = self.section.evaluate(READ_PLACES, self.widget)
        return found

    def expected_places(self, reply: Record) -> dict[str, str]:
        """What must stand in each place after a reply of the worker, as a browser writes it again after reading."""
        spots = self.places()
        texts = dict.fromkeys(spots, "")
        start = 0
        data = reply["html"].encode("utf-16-le")
        for (name, zone), length in zip(reply["places"], reply["cuts"], strict=True):
            html = data[2 * start : 2 * (start + length)].decode("utf-16-le")
            start += length
            # The verdict of a calculator that is not the page's first stands above its numbers.
            spot, container = f"{self.widget}/{name}", f"{self.widget}/{'rest' if zone == 'verdict' else zone} zone"
            if spot in texts:
                texts[spot] += html
            elif container in texts:
                texts[container] += html
            else:
                assert zone in self.left_out or not html, (name, zone)
        assert 2 * start == len(data)
        parsed: dict[str, str] = self.section.first.evaluate(AS_PARSED, [texts, BASE_MARK])
        return parsed

    def values(self) -> Shown:
        """The named values that stand there."""
        shown: Shown = self.section.evaluate(READ_VALUES, self.widget)
        return shown

    def settled(self) -> Sheet:
        """Wait until the calculator runs and has answered everything that it was asked."""
        # By selector: a function would be evaluated by the page, and its policy forbids that.
        self.page.locator(".qt-page[data-calc=ready]").wait_for(state="attached", timeout=PATIENCE)
        return self

    def tool(self, act: str) -> Locator:
        """One of the page's buttons, at its foot."""
        return self.page.locator(f".qt-foot [data-act={act}]")

    def box(self, name: str) -> Locator:
        """The box of a field."""
        return self.page.locator(f"#f-{name}")

    def slider(self, name: str) -> Locator:
        """The slider of a field."""
        return self.page.locator(f"#s-{name}")

    def error(self, name: str) -> Locator:
        """Where the sentence about a field stands."""
        return self.page.locator(f"#e-{name}")

    def choice(self, name: str, value: str) -> Locator:
        """One radio button."""
        return self.page.locator(f"input[name={name}][value={value}]")

    def fields(self) -> set[str]:
        """The fields that the page asks for; the others of its calculators have no box here."""
        boxes = self.page.locator(".qt-form:not([hidden]) [data-field]")
        return set(boxes.evaluate_all("(all) => all.map((one) => one.dataset.field)"))

    def unfold(self) -> Sheet:
        """Open what is folded."""
        self.page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        return self

    def choose(self, name: str, value: str) -> None:
        """Choose as a reader does, by a click."""
        self.choice(name, value).check()

    def enter(self, record: Record) -> list[str]:
        """Enter a record through the form's own events; return the fields that could be entered.

        A field that the form does not show, because of what else was entered, is left out. What other pages ask for was
        entered there before.
        """
        self.bring(record)
        self._open_boxes()
        entries = [{"name": name, "typed": typed, "unit": unit} for name, typed, unit in _entries(record)]
        entered: list[str] = self.page.evaluate(ENTER, entries)
        return entered

    def bring(self, record: Record) -> Sheet:
        """Have what other pages ask for entered there before this one was opened; the page is loaded again for it."""
        entries: Record = {
            name: {"typed": typed} | ({"unit": unit} if unit else {}) for name, typed, unit in _entries(record)
        }
        entries |= {name: rows for name, rows in record.items() if isinstance(rows, list)}
        days = {name: {"typed": TODAY} for name in as_entered(record) if name not in record}
        if self.page.evaluate(BRING, [entries, days, THEN]):
            self.page.reload()
            self.settled()
        return self

    def _open_boxes(self) -> Sheet:
        """Open what the page folds; the folds of an answer stay as they are."""
        self.page.evaluate(OPEN)
        return self

    def fill(self, name: str, text: str) -> None:
        """Fill a box, wherever it is folded away."""
        self._open_boxes().box(name).fill(text)

    def enter_both(self, record: Record) -> None:
        """Enter a record on a narrow page, which shows the boxes of one bolt at a time."""
        for bolt in BOLTS:
            self.unfold()
            switch = self.page.locator(f"[data-switch-bolt={bolt}]:visible")
            if switch.count():
                switch.first.click()
                self.page.locator(f".qt-page[data-bolt={bolt}]").wait_for(state="attached")
            self.enter(record)

    def enter_by_hand(self, record: Record) -> list[str]:
        """Enter a record by mouse and keyboard; return the fields that could be entered."""
        self.bring(record)
        self._open_boxes()
        entered = []
        for name, typed, unit in _entries(record):
            place = self.page.locator(f"#field-{name}")
            if not place.is_visible():  # a step that is done folds when the reader goes on
                self.unfold()
            if not place.is_visible():
                continue
            field = BY_NAME[name]
            if isinstance(field, ChoiceField):
                self.choose(name, typed)
            elif isinstance(field, DateField):
                self.box(name).fill(typed)  # in which order a day is typed depends on the reader's language
            else:
                if isinstance(field, NumberField) and len(field.units) > 1:
                    self.page.locator(f"#u-{name}").select_option(unit)
                self.type_into(name, typed)
            entered.append(name)
        return entered

    def clear(self) -> Sheet:
        """Empty the form by its button and forget what is kept: as good as a first visit, but for the worker."""
        self.tool("clear").click()
        self.settled()
        self.page.evaluate("localStorage.clear()")
        return self

    def type_into(self, name: str, text: str) -> None:
        """Type, key by key, in place of what stands in a box."""
        box = self._open_boxes().box(name)
        box.fill("")
        box.press_sequentially(text)

    def ask_worker(self, questions: list[str]) -> list[str]:
        """Ask the page's own running worker (needs KEEP_WORKER); the answers in order."""
        answers: list[str] = self.page.evaluate(ASK_WORKER, questions)
        return answers


def _entries(record: Record) -> list[tuple[str, str, str]]:
    """Name, typed text and unit of each entry, in the order of declaration: a condition names fields before it."""
    return [(field.name, *_typed(field, record[field.name])) for field in FIELDS if field.name in record]


def _typed(field: AnyField, entry: Any) -> tuple[str, str]:
    """What to type for an entry of a record, and its unit."""
    unit = field.unit if isinstance(field, NumberField) else ""
    if isinstance(field, DateField):  # a box for days takes nothing but a day
        return str(entry["typed"] if isinstance(entry, dict) else entry).strip(), ""
    if isinstance(entry, dict):
        return str(entry["typed"]), str(entry.get("unit") or unit)
    return (entry if isinstance(entry, str) else repr(entry)), unit


def keep(page: Page, server: Server, **kept: Any) -> None:
    """Put what earlier visits would have left into the browser's storage: the bow on the bench, the shelf."""
    server.site.replaced[BLANK] = b'<link rel="icon" href="assets/images/favicon.png">'
    page.goto(server.address + BLANK)
    page.evaluate(KEEP, [server.address, {key: json.dumps(data) for key, data in kept.items()}])


def kept_record(page: Page) -> Record:
    """The bow on the bench as this browser keeps it."""
    text = page.evaluate("Object.entries(localStorage).find(([key]) => key.endsWith(' record'))?.[1] ?? '{}'")
    return dict(json.loads(text).get("record", {}))


def on_the_bench(record: Record) -> Record:
    """A bow as it is kept on the bench: what was entered, and when."""
    canonical = from_data(as_entered(record)).record.canonical()
    return {"record": canonical, "times": {name: THEN for name in canonical if name != "version"}}


def open_own(page: Page, server: Server, record: Record, path: str = "safe-range/") -> Sheet:
    """Open a page where a bow that the reader entered on an earlier visit lies on the bench."""
    keep(page, server, record=on_the_bench(record))
    return open_sheet(page, server, path)


def look_over_again(page: Page, server: Server, answers: Record) -> Sheet:
    """Empty the inspection's list by its button and answer it anew, as with the bow in one's own hands."""
    sheet = open_sheet(page, server, "before/")
    sheet.section.get_by_role("button", name="Empty this list").click()
    sheet.settled().enter(answers)
    return sheet.settled()


def open_sheet(page: Page, server: Server, path: str = "safe-range/") -> Sheet:
    """Open the worksheet's page and wait until its calculator runs."""
    page.goto(server.address + path)
    return Sheet(page, MAIN.get(path, "safe-range")).settled()
