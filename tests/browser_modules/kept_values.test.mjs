// What is kept in the browser: over a reload, between tabs, and when the storage is forbidden, full, damaged or newer. What
// the page shows of it is looked at in test_kept_values.py.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { recoverRecord } from "../../docs/assets/browser/recovery.js";
import { storageKey } from "../../docs/assets/browser/site_paths.js";
import { compareBows, isSameBow, readStored, writeStored } from "../../docs/assets/browser/stored_record.js";
import { FakeBrowser } from "./fake_browser.mjs";
import { FakePage, RECORD, kept } from "./fake_page.mjs";
import { plain } from "./made_records.mjs";

/** @import { Answer } from "../../docs/assets/browser/reply.js" */
/** @import { Client } from "../../docs/assets/browser/client.js" */
/** @import { Notices } from "../../docs/assets/browser/notices.js" */

const ASIDE = storageKey("put aside");
/** @param {string} typed */
const mm = (typed) => ({ typed, unit: "mm" });

let browser = new FakeBrowser();

beforeEach(() => {
  browser = new FakeBrowser();
});

/**
 * A text as the page keeps it.
 * @param {object} entries
 */
function text(entries, version = 1) {
  const times = Object.fromEntries(Object.keys(entries).map((name) => [name, 1]));
  return JSON.stringify({ record: { version, ...entries }, times });
}

/**
 * The page, and the package that reads what the page cannot: its answer.
 * @param {Answer} answer
 */
async function recovered(answer) {
  const page = new FakePage(browser);
  page.tab.stay();
  /** @type {object[]} */
  const asked = [];
  const ask = async (/** @type {object} */ request) => {
    asked.push(request);
    return answer;
  };
  const client = /** @type {Client} */ ({ ask: /** @type {unknown} */ (ask) });
  const notices = /** @type {Notices} */ ({ add: (/** @type {string} */ sentence) => void page.said.add(sentence) });
  const { store, session } = page;
  await recoverRecord(page.recoverable ?? "", { client, store, session, notices });
  return { page, asked };
}

/**
 * @param {FakePage} page
 * @param {string} words
 */
const says = (page, words) => [...page.said].some((sentence) => sentence.includes(words));

test("values come back after a reload, with the times of what was entered", () => {
  const one = new FakePage(browser);
  one.type("reach", { typed: "2,5", unit: "in" });
  one.type("way", { typed: "other" });
  const again = new FakePage(browser);
  assert.deepEqual(again.value("reach"), { typed: "2,5", unit: "in" });
  assert.deepEqual(again.value("way"), { typed: "other" });
  assert.deepEqual(Object.keys(browser.stored(RECORD).times).sort(), ["reach", "way"]);
});

test("fields of other pages stay", () => {
  browser.items.set(RECORD, text({ other_page: mm("3") }));
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  assert.deepEqual(one.session.shown.other_page, mm("3"));
  assert.deepEqual(kept(browser).other_page, mm("3"));
});

test("the one key that is written carries the path of the site", () => {
  new FakePage(browser).type("reach", mm("5"));
  assert.deepEqual([...browser.items.keys()], [RECORD]);
  assert.match(RECORD, /^quarter-turn \/.*\/ record$/);
});

test("a field emptied in one tab stays empty in the other", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  const two = new FakePage(browser);
  assert.deepEqual(two.value("reach"), mm("5"));
  one.type("reach", null);
  browser.deliver();
  assert.equal(two.value("reach"), null);
  two.type("count", { typed: "1" });
  assert.ok(!("reach" in kept(browser)));
});

/** @type {[string, RegExp][]} */
const FAULTS = [
  ["SecurityError", /does not let the page keep/],
  ["QuotaExceededError", /storage is full/],
];
for (const [fault, words] of FAULTS) {
  test(`a page works without storage and says so once: ${fault}`, () => {
    const one = new FakePage(browser);
    one.tab.fault = fault;
    for (const typed of ["5", "6"]) {
      one.type("reach", mm(typed));
      assert.deepEqual(one.session.shown.reach, mm(typed));
    }
    assert.equal(one.said.size, 1);
    assert.match([...one.said][0], words);
    assert.ok(!one.store.isStored);
  });
}

test("a storage that is forbidden from the start is said too", () => {
  const tab = browser.tab();
  tab.fault = "SecurityError";
  browser.tab = () => tab;
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  assert.equal(one.said.size, 1);
  assert.deepEqual(one.session.shown.reach, mm("5"));
});

const READ = { version: 1, reach: mm("7") };
/** @type {[string, string, Answer][]} */
const DAMAGED = [
  ["no JSON", "{broken", { record: { version: 1 }, notes: [], problems: [{ field: "", sentence: "It is not whole JSON." }] }],
  ["too deep", "[".repeat(50_000), { record: { version: 1 }, notes: ["It is not whole JSON."] }],
  [
    "an entry that is none",
    JSON.stringify({ record: { version: 1, reach: mm("7"), count: true }, times: {} }),
    { record: READ, notes: ["count was ignored."] },
  ],
  ["an older version", text({ reach: mm("7") }, 0), { record: READ, notes: [] }],
];
for (const [name, stored, answer] of DAMAGED) {
  test(`a damaged record is read in part and put aside: ${name}`, async () => {
    browser.items.set(RECORD, stored);
    const { page } = await recovered(answer);
    assert.ok(says(page, "is damaged. What could be read of it is shown, and the damaged text itself is put aside"));
    for (const note of answer.notes ?? []) assert.ok(says(page, note));
    for (const { sentence } of answer.problems ?? []) assert.ok(says(page, sentence));
    assert.deepEqual(page.value("reach"), answer.record?.reach ?? null);
    page.type("name", { typed: "mine" });
    assert.equal(browser.items.get(ASIDE), stored);
    assert.deepEqual(kept(browser).name, { typed: "mine" });
    assert.deepEqual(kept(browser).reach, answer.record?.reach);
  });
}

test("what the package is asked to read is the record, or the whole text where there is none", async () => {
  browser.items.set(RECORD, DAMAGED[2][1]);
  const { asked } = await recovered({ record: READ });
  assert.deepEqual(asked, [{ ask: "read", text: JSON.stringify({ version: 1, reach: mm("7"), count: true }) }]);
  browser.items.set(RECORD, "{broken");
  assert.deepEqual((await recovered({ record: READ })).asked, [{ ask: "read", text: "{broken" }]);
});

test("a damaged record is left while the calculator has not read it", () => {
  browser.items.set(RECORD, "{broken");
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  assert.equal(browser.items.get(RECORD), "{broken");
});

test("what was entered meanwhile is newer than what is read", async () => {
  browser.items.set(RECORD, DAMAGED[2][1]);
  const page = new FakePage(browser);
  page.type("reach", mm("5"));
  page.tab.run(() => page.session.taken(page.store.settle(READ)));
  assert.deepEqual(kept(browser).reach, mm("5"));
});

test("a record that the package stumbles over is left", async () => {
  browser.items.set(RECORD, "{stumble");
  const { page } = await recovered({ broken: "The calculator stumbled." });
  page.type("reach", mm("5"));
  assert.deepEqual(page.session.shown.reach, mm("5"));
  assert.ok(says(page, "left as it is. The calculator stumbled."));
  assert.equal(browser.items.get(RECORD), "{stumble");
});

test("a damaged record that cannot be put aside is left, and nothing is kept", async () => {
  browser.items.set(RECORD, "{broken");
  const page = new FakePage(browser);
  page.tab.fault = "QuotaExceededError";
  page.tab.run(() => page.store.settle({ version: 1 }));
  page.type("reach", mm("5"));
  assert.ok(says(page, "could not be put aside. It is left as it is"));
  assert.equal(browser.items.get(RECORD), "{broken");
});

test("hostile names in the storage do no harm", () => {
  const stored = '{"record":{"version":1,"__proto__":{"typed":"x"},"constructor":{"typed":"y"}},"times":{"__proto__":5}}';
  browser.items.set(RECORD, stored);
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  assert.deepEqual(kept(browser).reach, mm("5"));
  assert.equal(/** @type {{ typed?: unknown }} */ ({}).typed, undefined);
  assert.ok(browser.items.get(RECORD)?.includes('"__proto__":{"typed":"x"}'));
});

test("a newer record is left untouched", async () => {
  const stored = text({ reach: mm("7") }, 9);
  browser.items.set(RECORD, stored);
  const { page } = await recovered({ record: READ });
  assert.ok(says(page, "newer version"));
  assert.deepEqual(page.value("reach"), mm("7"));
  page.type("reach", mm("8"));
  assert.deepEqual(page.session.shown.reach, mm("8"));
  assert.equal(browser.items.get(RECORD), stored);
});

test("a newer record that another tab stores is left untouched from then on", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  const stored = text({ reach: mm("7") }, 9);
  browser.items.set(RECORD, stored);
  one.type("reach", mm("8"));
  assert.ok(says(one, "newer version"));
  assert.equal(browser.items.get(RECORD), stored);
});

test("eviction is said, and the values are kept again", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  browser.items.clear();
  one.type("count", { typed: "2" });
  assert.ok(says(one, "has removed what it kept"));
  assert.deepEqual(kept(browser).reach, mm("5"));
});

test("clear empties every field, and undo brings it back", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  one.type("way", { typed: "both" });
  one.clear();
  assert.deepEqual([one.value("reach"), one.value("way")], [null, null]);
  assert.deepEqual(plain(one.session.shown), { version: 1 });
  one.type("count", { typed: "2" });
  one.undo();
  assert.deepEqual([one.value("reach"), one.value("way")], [mm("5"), { typed: "both" }]);
  assert.deepEqual(Object.keys(kept(browser)).sort(), ["reach", "version", "way"]);
  // What was entered since the clear is one more press away.
  one.undo();
  assert.deepEqual([one.value("count"), one.value("reach")], [{ typed: "2" }, null]);
});

test("several entries by one press can be undone, but not while a link is looked at", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  one.type("way", { typed: "both" });
  const offered = { reach: mm("6"), way: null };
  assert.equal(one.tab.run(() => one.session.changeAll(offered)), true);
  assert.deepEqual(kept(browser), { version: 1, reach: mm("6") });
  one.undo();
  assert.deepEqual(kept(browser), { version: 1, reach: mm("5"), way: { typed: "both" } });
  one.tab.run(() => one.session.look({ version: 1, reach: mm("77"), way: { typed: "one" } }));
  assert.equal(one.tab.run(() => one.session.changeAll(offered)), false);
  assert.deepEqual(plain(one.session.shown), { version: 1, reach: mm("6") });
  assert.deepEqual(kept(browser).reach, mm("5"));
});

test("an entry that says what stands there already is no change, and nothing to undo", () => {
  const one = new FakePage(browser);
  one.type("reach", mm("5"));
  const { writes } = one.tab;
  assert.equal(one.tab.run(() => one.session.change("reach", { unit: "mm", typed: 5 }, null, { remember: true })), false);
  assert.deepEqual([one.tab.writes, one.session.canUndo], [writes, false]);
});

// The text itself

test("what was written is read again", () => {
  const [record, times, bow] = [{ version: 1, reach: mm("5") }, { reach: 7, count: 8 }, { id: "a", time: 3 }];
  assert.deepEqual(plain(readStored(writeStored(record, times, bow), 1)), { kind: "good", record, times, bow });
  assert.deepEqual(plain(readStored(writeStored(record, times), 1)), { kind: "good", record, times, bow: null });
  assert.deepEqual(readStored(null, 1), { kind: "none" });
});

test("a text without a record, or without its times, is damaged", () => {
  const record = { version: 1 };
  for (const data of [{ record }, { times: {} }, { record: [], times: {} }, { record, times: [] }]) {
    assert.deepEqual(readStored(JSON.stringify(data), 1), { kind: "damaged", recoverable: JSON.stringify(data) });
  }
});

test("a field without a time has the earliest one", () => {
  const stored = readStored(JSON.stringify({ record: { version: 1, a: "1", b: "2" }, times: { b: 9 } }), 1);
  assert.deepEqual(stored.kind === "good" && plain(stored.times), { a: 1, b: 9 });
});

test("which bow came to the bench later, and which two are one", () => {
  const [none, unnamed, first, second] = [null, { id: null, time: 5 }, { id: "a", time: 5 }, { id: "b", time: 6 }];
  for (const [one, other] of [[none, unnamed], [unnamed, first], [first, second]]) {
    assert.ok(compareBows(one, other) < 0);
    assert.ok(compareBows(other, one) > 0);
  }
  assert.equal(compareBows(first, { ...first }), 0);
  assert.ok(isSameBow(unnamed, first), "before it got its id");
  assert.ok(isSameBow(none, { id: "a", time: 0 }), "the first one, before it got its id");
  assert.ok(!isSameBow(first, { id: "b", time: 5 }));
  assert.ok(!isSameBow(first, { id: "a", time: 6 }));
});
