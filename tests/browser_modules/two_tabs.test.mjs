// Two tabs of one browser: the later entry of a field counts, and an edit belongs to the bow it was begun for. What must be
// kept follows from the order of what the two readers do (C). What the form itself does is looked at in test_two_tabs.py.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { nameOf } from "../../docs/assets/browser/bow.js";
import { FakeBrowser } from "./fake_browser.mjs";
import { FakePage, RECORD, SHELF, kept, onShelf } from "./fake_page.mjs";
import { bow, plain } from "./made_records.mjs";

/** @import { Entries } from "../../docs/assets/browser/entry.js" */

const [CLUB, OTHER] = ["a".repeat(16), "b".repeat(16)];

/** @param {string} typed */
const mm = (typed) => ({ typed, unit: "mm" });
/** @param {string} typed */
const turns = (typed) => ({ typed, unit: "turn" });
/**
 * @param {string} far
 * @param {string} pull
 */
const row = (far, pull) => ({ far: mm(far), pull: { typed: pull, unit: "N" } });
const LOG = [row("28", "100"), row("27", "90")];

let browser = new FakeBrowser();

beforeEach(() => {
  browser = new FakeBrowser();
});

/**
 * The bow Club on the bench and Other on the shelf; where it is not `shelved`, Club was never on the shelf.
 * @param {{ shelved?: boolean, log?: object[] }} how
 */
function twoBows({ shelved = true, log } = {}) {
  /** @type {Entries} */
  const steps = log ? { steps: log } : {};
  const club = bow({ bow_name: { typed: "Club" }, reach: mm("17"), count: turns("3"), ...steps }, undefined, CLUB);
  /** @type {Entries} */
  const rows = log ? { steps: [row("1", "1")] } : {};
  const other = bow({ bow_name: { typed: "Other" }, reach: mm("50"), ...rows }, undefined, OTHER);
  browser.items.set(SHELF, JSON.stringify({ version: 1, bows: shelved ? [club, other] : [other] }));
  const { record, times } = club;
  browser.items.set(RECORD, JSON.stringify(shelved ? { record, times, bow: { id: CLUB, time: 9 } } : { record, times }));
}

/** @returns {[FakePage, FakePage]} */
function twoPages() {
  return [new FakePage(browser), new FakePage(browser)];
}

/**
 * Store something as a third tab would, of which nobody knows anything.
 * @param {string} key
 * @param {object} data
 */
function store(key, data) {
  browser.tab().localStorage.setItem(key, JSON.stringify(data));
}

/** The one notice of a page that another bow came to the bench. */
const TO_SHELF = "Another tab opened another bow. What you type in this box goes to “Club”, which is saved.";

/**
 * @param {FakePage} page
 * @param {string} words
 */
const says = (page, words) => [...page.said].some((sentence) => sentence.includes(words));

/** @param {FakePage} page */
const nameOnBench = (page) => nameOf(page.session.shown);

// One bow

test("a change of the view writes nothing", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  const before = [one.tab.writes, browser.items.get(RECORD)];
  one.move("look", { typed: "wide" });
  assert.deepEqual(one.session.shown.look, { typed: "wide" });
  assert.deepEqual([one.tab.writes, browser.items.get(RECORD)], before);
  // Nor where nothing is kept yet.
  browser.items.clear();
  one.move("look", { typed: "narrow" });
  assert.deepEqual(one.session.shown.look, { typed: "narrow" });
  assert.equal(browser.stored(RECORD), null);
});

test("fields of the view are not kept, and a reader's habits are", () => {
  const one = new FakePage(browser);
  one.move("look", { typed: "wide" });
  one.type("habit", { typed: "quarter" });
  assert.deepEqual(one.session.shown.look, { typed: "wide" });
  assert.deepEqual(kept(browser), { version: 1, habit: { typed: "quarter" } });
});

test("a later entry is not written over by a box that is only being looked at", () => {
  const [one, two] = twoPages();
  one.type("reach", mm("19.0"));
  browser.deliver();
  assert.deepEqual(two.value("reach"), mm("19.0"));
  two.type("reach", mm("18.5"));
  browser.deliver();
  // Not taken from under the reader, and not written back either.
  assert.deepEqual(one.value("reach"), mm("19.0"));
  one.move("look", { typed: "wide" });
  assert.deepEqual(kept(browser).reach, mm("18.5"));
  one.enter("way");
  assert.deepEqual(one.value("reach"), mm("18.5"));
  assert.deepEqual(one.session.shown.reach, mm("18.5"));
  assert.deepEqual(two.value("reach"), mm("18.5"));
});

test("who goes on typing has the later entry", () => {
  const [one, two] = twoPages();
  one.type("reach", mm("19.0"));
  browser.deliver();
  two.type("reach", mm("18.5"));
  two.enter("count");
  browser.deliver();
  one.type("reach", mm("19.05"));
  assert.deepEqual(kept(browser).reach, mm("19.05"));
  assert.deepEqual(one.session.shown.reach, mm("19.05"));
  browser.deliver();
  assert.deepEqual(two.value("reach"), mm("19.05"));
});

test("changes within one tick of the clock stay in order", (t) => {
  t.mock.method(Date, "now", () => 1_800_000_000_000);
  const [one, two] = twoPages();
  for (const [number, page] of [one, two, one, two, two, one].entries()) {
    // Neither hears of the other.
    browser.lose();
    page.type("reach", mm(String(number)));
    assert.deepEqual(kept(browser).reach, mm(String(number)));
  }
  browser.lose();
  one.type("count", turns("1"));
  two.enter("name");
  browser.deliver();
  assert.deepEqual([one.value("reach"), two.value("reach")], [mm("5"), mm("5")]);
});

test("two equally old entries become one in both tabs", () => {
  const [one, two] = twoPages();
  one.type("name", { typed: "x" });
  browser.deliver();
  // As two tabs at one moment, neither of which had heard of the other: the last of them is what is stored.
  const time = browser.stored(RECORD).times.name + 1000;
  for (const typed of ["aa", "bb", "aa"]) store(RECORD, { record: { version: 1, name: { typed } }, times: { name: time } });
  one.enter("count");
  browser.deliver();
  assert.deepEqual([one.value("name"), two.value("name")], [{ typed: "bb" }, { typed: "bb" }]);
  assert.deepEqual(kept(browser).name, { typed: "bb" });
});

test("an entry that another tab wrote over at the same time is written again", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  const before = browser.stored(RECORD);
  one.type("name", { typed: "mine" });
  browser.deliver();
  before.record.count = turns("2");
  before.times.count = before.times.reach + 5;
  store(RECORD, before);
  browser.deliver();
  assert.deepEqual(one.value("count"), turns("2"));
  assert.deepEqual(kept(browser).name, { typed: "mine" });
  assert.deepEqual(kept(browser).count, turns("2"));
});

for (const shelved of [true, false]) {
  test(`cleared in another tab stays cleared: ${shelved ? "a bow of the shelf" : "one that was never there"}`, () => {
    twoBows({ shelved });
    const [one, two] = twoPages();
    one.type("reach", mm("17.1"));
    browser.deliver();
    assert.deepEqual(two.value("reach"), mm("17.1"));
    two.clear();
    browser.deliver();
    assert.equal(one.value("count"), null);
    assert.deepEqual(one.value("reach"), mm("17.1"));
    one.move("look", { typed: "wide" });
    assert.deepEqual(kept(browser), { version: 1 });
    if (shelved) assert.deepEqual(onShelf(browser).Club.record.reach, mm("17.1"));
    one.enter("habit");
    assert.equal(one.value("reach"), null);
    assert.deepEqual(kept(browser), { version: 1 });
    assert.equal(one.session.shown.reach, undefined);
  });
}

test("typing on after a clear is an entry of the empty bench", () => {
  // Where the bow was never on the shelf: there is nothing else that it could belong to.
  twoBows({ shelved: false });
  const [one, two] = twoPages();
  one.type("reach", mm("17.1"));
  browser.deliver();
  two.clear();
  browser.deliver();
  assert.equal(one.value("count"), null);
  one.type("reach", mm("17.15"));
  assert.deepEqual(kept(browser), { version: 1, reach: mm("17.15") });
  browser.deliver();
  assert.deepEqual(two.value("reach"), mm("17.15"));
  // And where that tab takes its clear back while the box holds what comes back, it is no other bow's either.
  two.undo();
  browser.deliver();
  assert.deepEqual(one.value("count"), turns("3"));
});

// Another bow

/** A tab in the box of a field of Club, where 17.1 was typed, and another one that has taken Other. */
function stale(shelved = true) {
  twoBows({ shelved });
  const [one, page] = twoPages();
  one.type("reach", mm("17.1"));
  browser.deliver();
  assert.deepEqual(kept(browser).reach, mm("17.1"));
  page.take("Other");
  browser.deliver();
  assert.equal(nameOnBench(one), "Other");
  return { one, page };
}

for (const shelved of [true, false]) {
  const was = shelved ? "a bow of the shelf" : "one that was never there";

  test(`an old text is not written into the other bow: ${was}`, () => {
    const { one } = stale(shelved);
    // All is the other bow's but the text under the reader's hands.
    assert.deepEqual([one.value("reach"), one.value("count")], [mm("17.1"), null]);
    assert.deepEqual(one.session.shown.reach, mm("50"));
    one.move("look", { typed: "wide" });
    one.type("habit", { typed: "mine" });
    assert.deepEqual(kept(browser).reach, mm("50"));
    assert.deepEqual(kept(browser).habit, { typed: "mine" });
    assert.deepEqual(one.value("reach"), mm("50"));
    assert.deepEqual(onShelf(browser).Club.record.reach, mm("17.1"));
  });

  test(`typing on goes to the bow it was begun for: ${was}`, () => {
    const { one, page } = stale(shelved);
    assert.ok(says(one, TO_SHELF));
    one.type("reach", mm("17.15"));
    assert.deepEqual(one.value("reach"), mm("17.15"));
    assert.deepEqual(onShelf(browser).Club.record.reach, mm("17.15"));
    assert.deepEqual(kept(browser).reach, mm("50"));
    assert.deepEqual(one.session.shown.reach, mm("50"));
    // Left, the box is the new bow's.
    one.enter("count");
    assert.deepEqual(one.value("reach"), mm("50"));
    one.type("reach", mm("51"));
    assert.deepEqual(kept(browser).reach, mm("51"));
    assert.deepEqual(onShelf(browser).Club.record.reach, mm("17.15"));
    // And the first bow comes back with all that was typed for it.
    browser.deliver();
    page.take("Club");
    browser.deliver();
    assert.deepEqual(one.value("count"), turns("3"));
    one.enter("count");
    assert.deepEqual(one.value("reach"), mm("17.15"));
    assert.deepEqual(onShelf(browser).Other.record.reach, mm("51"));
  });
}

test("typing on after the bow came back is an entry of the bench", () => {
  const { one, page } = stale();
  page.take("Club");
  browser.deliver();
  assert.equal(nameOnBench(one), "Club");
  one.type("reach", mm("17.15"));
  assert.deepEqual(kept(browser).reach, mm("17.15"));
  assert.deepEqual(one.session.shown.reach, mm("17.15"));
  assert.deepEqual(onShelf(browser).Other.record.reach, mm("50"));
});

test("a bow that is only put on the shelf is still the same", () => {
  twoBows({ shelved: false });
  const [one, page] = twoPages();
  one.type("reach", mm("17.1"));
  browser.deliver();
  page.putOnShelf();
  browser.deliver();
  one.type("reach", mm("17.15"));
  assert.deepEqual(kept(browser).reach, mm("17.15"));
  assert.deepEqual(one.session.shown.reach, mm("17.15"));
  assert.equal(browser.stored(RECORD).bow.id, onShelf(browser).Club.id);
  assert.equal(one.said.size, 0);
});

test("a text without a bow is not kept, and the page says so", () => {
  const { one, page } = stale();
  page.tab.run(() => page.shelf.change(new Map([[CLUB, null]])));
  browser.deliver();
  one.type("reach", mm("17.15"));
  assert.ok(says(one, "The bow that you were typing for is not saved: what you type in this box is not kept."));
  assert.deepEqual(kept(browser).reach, mm("50"));
  assert.deepEqual(Object.keys(onShelf(browser)), ["Other"]);
});

test("a change that crosses with the exchange goes to its own bow", () => {
  // By a slider under a finger, which nobody is in: the page had not heard of the other bow yet.
  twoBows();
  const [one, page] = twoPages();
  page.take("Other");
  browser.lose();
  one.move("reach", mm("33.0"));
  assert.deepEqual(onShelf(browser).Club.record.reach, mm("33.0"));
  assert.deepEqual(kept(browser).reach, mm("50"));
  assert.deepEqual(one.value("reach"), mm("50"));
  assert.equal(nameOnBench(one), "Other");
  assert.ok(says(one, "which is saved"));
});

test("an entry that the exchange did not know of is on the shelf all the same", () => {
  twoBows();
  const one = new FakePage(browser);
  const shelf = browser.stored(SHELF);
  one.type("reach", mm("33"));
  one.enter("count");
  // As written by a tab at the same moment: the bow went to the shelf without that entry.
  store(SHELF, shelf);
  const { record, times } = shelf.bows[1];
  store(RECORD, { record, times, bow: { id: OTHER, time: 50 } });
  browser.deliver();
  assert.deepEqual(one.value("reach"), mm("50"));
  assert.deepEqual(onShelf(browser).Club.record.reach, mm("33"));
});

test("what a late tab writes of the bow before is not taken for the new one", () => {
  twoBows();
  const [one, page] = twoPages();
  const before = browser.stored(RECORD);
  page.take("Other");
  browser.deliver();
  assert.deepEqual(one.value("reach"), mm("50"));
  before.record.reach = mm("66");
  before.times.reach = 4_000_000_000_000;
  store(RECORD, before);
  browser.deliver();
  assert.deepEqual(kept(browser).reach, mm("50"));
  assert.equal(browser.stored(RECORD).bow.id, OTHER);
  assert.deepEqual(one.value("reach"), mm("50"));
  assert.equal(nameOnBench(one), "Other");
});

// Lists

test("rows of both tabs stay", () => {
  twoBows({ log: LOG });
  const [one, two] = twoPages();
  one.enter("steps");
  // The other tab changes a row, adds one, and then changes the very row that is being edited here.
  two.type("steps", [row("28", "100"), row("27", "95")]);
  two.type("steps", [row("28", "100"), row("27", "95"), { far: mm("26") }]);
  two.type("steps", [row("29", "100"), row("27", "95"), { far: mm("26") }]);
  two.enter("count");
  browser.deliver();
  assert.deepEqual(one.value("steps"), LOG);
  one.type("steps", [row("28", "1005"), row("27", "90")]);
  one.type("steps", [row("28", "10050"), row("27", "90")]);
  // That row stays in both states: which of them is right, only the reader knows.
  const wanted = [row("28", "10050"), row("27", "95"), row("29", "100"), { far: mm("26") }];
  assert.deepEqual(kept(browser).steps, wanted);
  assert.deepEqual(one.session.shown.steps, wanted);
  browser.deliver();
  assert.deepEqual(two.value("steps"), wanted);
});

test("a row removed in one tab and one changed in the other", () => {
  twoBows({ log: LOG });
  const [one, two] = twoPages();
  one.enter("steps");
  two.move("steps", [row("27", "90")], { remember: true });
  browser.deliver();
  one.type("steps", [row("28", "100"), row("27", "905")]);
  assert.deepEqual(kept(browser).steps, [row("27", "905")]);
  // A row removed here, with the other tab's new one not in sight.
  browser.deliver();
  two.type("steps", [row("27", "905"), { far: mm("20") }]);
  two.enter("count");
  browser.deliver();
  assert.ok(one.move("steps", [row("28", "100")], { remember: true }), "it can be undone");
  assert.deepEqual(kept(browser).steps, [{ far: mm("20") }]);
  one.undo();
  assert.deepEqual(kept(browser).steps, [row("27", "905"), { far: mm("20") }]);
});

test("a row begun for another bow goes to that bow", () => {
  twoBows({ log: LOG });
  const [one, page] = twoPages();
  one.type("steps", [...LOG, { far: mm("2") }]);
  browser.deliver();
  page.take("Other");
  browser.deliver();
  one.type("steps", [...LOG, { far: mm("26") }]);
  assert.deepEqual(onShelf(browser).Club.record.steps, [...LOG, { far: mm("26") }]);
  assert.deepEqual(kept(browser).steps, [row("1", "1")]);
  one.enter("count");
  assert.deepEqual(one.value("steps"), [row("1", "1")]);
  assert.deepEqual(onShelf(browser).Club.record.steps, [...LOG, { far: mm("26") }]);
});

// Undo, and pages that were away

test("undo brings the bow of then back, and the other goes to the shelf", () => {
  twoBows({ log: LOG });
  const [one, page] = twoPages();
  one.move("steps", LOG.slice(1), { remember: true });
  assert.deepEqual(kept(browser).steps, LOG.slice(1));
  browser.deliver();
  page.take("Other");
  browser.deliver();
  assert.equal(nameOnBench(one), "Other");
  one.type("reach", mm("52"));
  one.undo();
  assert.equal(nameOnBench(one), "Club");
  assert.deepEqual([one.value("reach"), kept(browser).steps], [mm("17"), LOG]);
  assert.equal(browser.stored(RECORD).bow.id, CLUB);
  assert.deepEqual(onShelf(browser).Other.record.reach, mm("52"));
  assert.ok("steps" in onShelf(browser).Other.record);
  // Once more: the other one again, and nothing of either is lost.
  one.undo();
  assert.equal(nameOnBench(one), "Other");
  assert.deepEqual(one.value("reach"), mm("52"));
  assert.deepEqual(onShelf(browser).Club.record.steps, LOG);
});

test("undo of a clear keeps what was changed of that bow since", () => {
  twoBows();
  const [one, two] = twoPages();
  const page = new FakePage(browser);
  one.clear();
  assert.equal(one.session.shown.reach, undefined);
  browser.deliver();
  page.take("Club");
  browser.deliver();
  assert.deepEqual(two.value("reach"), mm("17"));
  two.type("reach", mm("18"));
  two.type("count", null);
  browser.deliver();
  assert.deepEqual(one.value("reach"), mm("18"));
  page.take("Other");
  browser.deliver();
  assert.equal(nameOnBench(one), "Other");
  one.undo();
  assert.equal(nameOnBench(one), "Club");
  assert.deepEqual(kept(browser).reach, mm("18"));
  assert.ok(!("count" in kept(browser)));
  assert.deepEqual(onShelf(browser).Other.record.reach, mm("50"));
});

test("undo of a bow that got its id meanwhile makes no second one", () => {
  twoBows({ shelved: false, log: LOG });
  const [one, page] = twoPages();
  one.move("steps", LOG.slice(1), { remember: true });
  browser.deliver();
  page.take("Other");
  browser.deliver();
  assert.equal(nameOnBench(one), "Other");
  one.undo();
  assert.equal(nameOnBench(one), "Club");
  assert.deepEqual(kept(browser).steps, LOG);
  assert.equal(browser.stored(RECORD).bow.id, onShelf(browser).Club.id);
  assert.equal(browser.stored(SHELF).bows.length, 2);
});

test("a page that comes back shows all that changed meanwhile", () => {
  twoBows();
  const [one, two] = twoPages();
  one.type("reach", mm("17.1"));
  browser.deliver();
  two.type("reach", mm("18"));
  browser.lose();
  assert.deepEqual(one.value("reach"), mm("17.1"));
  one.comeBack();
  // Into the box that has the focus too: the reader was away.
  assert.deepEqual(one.value("reach"), mm("18"));
  two.enter(null);
  two.take("Other");
  browser.lose();
  one.comeBack();
  assert.deepEqual([one.value("reach"), one.value("count")], [mm("50"), null]);
  assert.equal(nameOnBench(one), "Other");
  assert.equal(one.said.size, 0);
  one.type("reach", mm("501"));
  assert.deepEqual(kept(browser).reach, mm("501"));
  assert.deepEqual(onShelf(browser).Club.record.reach, mm("18"));
});

test("while a link is looked at, other tabs are followed beneath", () => {
  twoBows();
  const [two, one] = twoPages();
  one.tab.run(() => one.session.look({ version: 1, reach: mm("77") }));
  one.enter("reach");
  two.type("reach", mm("19"));
  browser.deliver();
  one.type("reach", mm("778"));
  assert.deepEqual(one.value("reach"), mm("778"));
  assert.deepEqual(two.value("reach"), mm("19"));
  one.enter(null);
  one.tab.run(() => one.session.back());
  assert.deepEqual(one.value("reach"), mm("19"));
  assert.deepEqual(kept(browser).reach, mm("19"));
});

// One tab, and a bow of the shelf

/** @type {Entries} */
const OWN = { reach: mm("5"), bow_name: { typed: "Club" } };
const ON_SHELF = { id: "aaaaaaaa", record: { version: 1, ...OWN }, times: { reach: 1, bow_name: 2 } };
const RETURNED = {
  id: "aaaaaaaa",
  record: { version: 1, ...OWN, count: turns("3") },
  times: { reach: 1, bow_name: 2, count: 10 },
};

/** A page whose bow lies on the shelf too, as it was before the count was entered. */
function ofTheShelf() {
  const record = { version: 1, ...OWN, count: turns("3"), habit: { typed: "mine" } };
  const times = { reach: 10, bow_name: 10, count: 10, habit: 10 };
  browser.items.set(RECORD, JSON.stringify({ record, times, bow: { id: "aaaaaaaa", time: 9 } }));
  browser.items.set(SHELF, JSON.stringify({ version: 1, bows: [ON_SHELF] }));
  return new FakePage(browser);
}

test("a bow of the shelf goes back there before all is cleared", () => {
  const one = ofTheShelf();
  one.clear();
  assert.equal(nameOnBench(one), "");
  assert.deepEqual(browser.stored(SHELF).bows, [RETURNED]);
  assert.equal(browser.stored(RECORD).bow.id, null);
  // Another bow is entered: it is not the one of the shelf.
  one.type("reach", mm("9"));
  one.clear();
  assert.deepEqual(browser.stored(SHELF).bows, [RETURNED]);
  one.undo();
  one.undo();
  assert.deepEqual(browser.stored(SHELF).bows, [RETURNED]);
});

test("a bow that was never on the shelf is not put there", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  one.clear();
  assert.deepEqual([...browser.items.keys()], [RECORD]);
});

test("another tab follows to another bow", () => {
  const one = ofTheShelf();
  const two = new FakePage(browser);
  one.clear();
  browser.deliver();
  assert.equal(two.value("reach"), null);
  two.type("reach", mm("8"));
  two.clear();
  // Had the second tab still taken it for the first bow, the shelf's would be overwritten.
  assert.deepEqual(browser.stored(SHELF).bows, [RETURNED]);
});

for (const [name, isSame] of /** @type {const} */ ([["Club", true], ["Other", false]])) {
  test(`a kept link is of the same bow only under its name: ${name}`, () => {
    const one = ofTheShelf();
    one.tab.run(() => one.session.look({ version: 1, reach: mm("77"), bow_name: { typed: name } }));
    assert.equal(nameOnBench(one), name);
    one.tab.run(() => one.session.keep());
    assert.deepEqual(kept(browser).reach, mm("77"));
    assert.equal(browser.stored(RECORD).bow.id, isSame ? "aaaaaaaa" : null);
    assert.deepEqual(plain(browser.stored(SHELF).bows), [isSame ? ON_SHELF : RETURNED]);
  });
}
