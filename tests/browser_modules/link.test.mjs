// A link's values and the reader's own: neither overwrites the other without asking. What the banner looks like, the
// clipboard and a real history are looked at in test_links.py.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { Link, carriesValues } from "../../docs/assets/browser/link.js";
import { storageKey } from "../../docs/assets/browser/site_paths.js";
import { FakeBrowser } from "./fake_browser.mjs";
import { FakePage, RECORD, SHELF, kept } from "./fake_page.mjs";
import { plain } from "./made_records.mjs";

/** @import { Answer } from "../../docs/assets/browser/reply.js" */
/** @import { Banner } from "../../docs/assets/browser/banner.js" */
/** @import { Choice } from "../../docs/assets/browser/dom.js" */
/** @import { Client } from "../../docs/assets/browser/client.js" */
/** @import { Entries } from "../../docs/assets/browser/entry.js" */

/** @param {string} typed */
const mm = (typed) => ({ typed, unit: "mm" });
/** @param {unknown} data */
const coded = (data) => Buffer.from(JSON.stringify(data)).toString("base64url");
/**
 * A link's fragment, as the package of these tests writes it.
 * @param {object} entries
 */
const fragment = (entries) => `#q1.${coded({ version: 1, ...entries })}`;
/** Let all that waits go on. */
const settle = () => new Promise((resolve) => setImmediate(resolve));

/** The address of a tab, and the way it came. */
class FakeHistory {
  #place = 0;
  state = null;

  /** @param {string} hash */
  constructor(hash) {
    this.hashes = [hash];
  }

  get hash() {
    return this.hashes[this.#place];
  }

  pathname = "/pages/page.html";
  search = "";

  /** @param {string} address */
  #hashOf(address) {
    return new URL(address, "http://127.0.0.1").hash;
  }

  /**
   * @param {unknown} _state
   * @param {string} _title
   * @param {string} address
   */
  pushState(_state, _title, address) {
    this.hashes.splice(this.#place + 1, Infinity, this.#hashOf(address));
    this.#place += 1;
  }

  /**
   * @param {unknown} _state
   * @param {string} _title
   * @param {string} address
   */
  replaceState(_state, _title, address) {
    this.hashes[this.#place] = this.#hashOf(address);
  }

  /** @param {number} steps */
  go(steps) {
    this.#place += steps;
  }
}

/** What the package answers here: a link carries of the list `entries` its last row, and no diary. */
class FakePackage {
  /** @type {string[]} */
  asked = [];

  /** @param {{ ask: string, record?: Entries, fragment?: string }} request */
  async ask(request) {
    this.asked.push(request.ask);
    return request.ask === "link" ? this.#link(request.record ?? {}) : this.#open(request.fragment ?? "");
  }

  /**
   * @param {Entries} record
   * @returns {Answer}
   */
  #link(record) {
    const carried = { ...record };
    delete carried.diary;
    if (Array.isArray(record.entries)) carried.entries = record.entries.slice(-1);
    return { fragment: `q1.${coded(carried)}` };
  }

  /**
   * @param {string} text
   * @returns {Answer}
   */
  #open(text) {
    try {
      return { record: JSON.parse(Buffer.from(text.slice(3), "base64url").toString()) };
    } catch {
      return { record: { version: 1 }, problems: [{ field: "", sentence: "It is not whole JSON." }] };
    }
  }
}

/** A page that is opened with an address, and what its banner shows. */
class Visit {
  text = "";
  /** @type {string[]} */
  notes = [];
  /** @type {Choice[]} */
  choices = [];
  hasFocus = false;
  /** @type {string[]} */
  spoken = [];

  /**
   * Open an address; in the tab of an earlier visit where what that remembers is given.
   * @param {string} hash
   * @param {{ fault?: string, ofTab?: Map<string, string> }} how
   */
  constructor(hash, { fault = "", ofTab } = {}) {
    this.page = new FakePage(browser);
    this.page.tab.fault = fault;
    if (ofTab) this.page.tab.ofTab = ofTab;
    this.page.tab.stay();
    this.history = new FakeHistory(hash);
    Object.assign(globalThis, { location: this.history, history: this.history });
    /** @type {Pick<Banner, "show" | "hide">} */
    const banner = {
      show: (text, { notes = [], choices = [], focus = false } = {}) =>
        void Object.assign(this, { text, notes, choices, hasFocus: focus }),
      hide: () => void Object.assign(this, { text: "", notes: [], choices: [] }),
    };
    this.package = new FakePackage();
    const { session, shelf } = this.page;
    this.link = new Link({
      banner: /** @type {Banner} */ (banner),
      client: /** @type {Client} */ (/** @type {unknown} */ (this.package)),
      say: (text) => void this.spoken.push(text),
      session,
      shelf,
    });
  }

  /** @param {string} hash */
  static async open(hash, how = {}) {
    const visit = new Visit(hash, how);
    await visit.link.open();
    return visit;
  }

  /** @param {string} name */
  value(name) {
    return this.page.value(name);
  }

  /**
   * Press a button of the banner.
   * @param {string} act
   */
  press(act) {
    const choice = this.choices.find(([, name]) => name === act);
    if (!choice) throw new Error(`no ${act}`);
    choice[2]();
  }

  /**
   * The address changes by the reader: by a link, by typing, or by going back.
   * @param {() => void} change
   */
  async goTo(change) {
    change();
    this.page.tab.changeHash();
    this.page.tab.stay();
    await settle();
  }
}

let browser = new FakeBrowser();

beforeEach(() => {
  browser = new FakeBrowser();
});

/**
 * An earlier visit has kept these entries.
 * @param {Entries} entries
 */
function keep(entries) {
  const times = Object.fromEntries(Object.keys(entries).map((name) => [name, 1]));
  browser.items.set(RECORD, JSON.stringify({ record: { version: 1, ...entries }, times }));
}

const THEIRS = fragment({ reach: mm("77") });

/** A reader with values of their own who opens a link. */
async function visiting() {
  keep({ reach: mm("5"), habit: { typed: "mine" } });
  const visit = await Visit.open(THEIRS);
  assert.deepEqual(visit.value("reach"), mm("77"));
  return visit;
}

test("which addresses carry values", () => {
  for (const hash of ["#q1.abc", "#q9.", "#q12.x"]) assert.ok(carriesValues({ hash }));
  for (const hash of ["", "#", "#later", "#q1", "#q.x", "#xq1.x"]) assert.ok(!carriesValues({ hash }));
});

test("where there is nothing of one's own a link is looked at, and nothing of it is kept before it is asked for", async () => {
  const visit = await Visit.open(THEIRS);
  assert.match(visit.text, /values from a link\. None of it is kept yet\./);
  assert.deepEqual(visit.value("reach"), mm("77"));
  assert.equal(visit.history.hash, THEIRS);
  assert.equal(browser.stored(RECORD), null);
  assert.equal(visit.spoken.at(-1), visit.text);
  assert.deepEqual(visit.choices.map(([words]) => words), ["Put it away", "Keep as a bow of mine"]);
  visit.press("link-shelf");
  assert.match(visit.text, /now yours\.$/);
  assert.deepEqual(kept(browser).reach, mm("77"));
  assert.equal(visit.history.hash, "");
});

test("a link that is put away leaves nothing", async () => {
  const visit = await Visit.open(THEIRS);
  visit.press("link-back");
  assert.match(visit.text, /put away\. Nothing of it was kept/);
  assert.equal(visit.value("reach"), null);
  assert.equal(browser.stored(RECORD), null);
  const later = await Visit.open("", { ofTab: visit.page.tab.ofTab });
  assert.equal(later.value("reach"), null);
  assert.equal(later.text, "");
});

test("whoever has none of their own and changes something of a link's keeps it by that", async () => {
  const visit = await Visit.open(fragment({ reach: mm("77"), name: "club bow" }));
  visit.page.type("reach", mm("77"));
  assert.equal(browser.stored(RECORD), null, "the same typed once more is no change");
  visit.page.type("reach", mm("78"));
  assert.match(visit.text, /You changed something: now it is kept/);
  assert.deepEqual(kept(browser), { version: 1, reach: mm("78"), name: "club bow" });
  assert.deepEqual(visit.value("reach"), mm("78"));
  assert.equal(visit.history.hash, "");
  const later = await Visit.open("", { ofTab: visit.page.tab.ofTab });
  assert.equal(later.text, "");
  assert.deepEqual(later.value("reach"), mm("78"));
});

test("a habit that is changed while a link is looked at is the reader's, and keeps nothing of the link", async () => {
  for (const own of /** @type {Entries[]} */ ([{}, { reach: mm("5") }])) {
    browser = new FakeBrowser();
    keep(own);
    const visit = await Visit.open(THEIRS);
    visit.page.type("habit", { typed: "mine" });
    assert.deepEqual(kept(browser), { version: 1, ...own, habit: { typed: "mine" } });
    assert.deepEqual([visit.value("habit"), visit.value("reach")], [{ typed: "mine" }, mm("77")]);
    visit.press("link-back");
    assert.deepEqual(visit.value("habit"), { typed: "mine" });
  }
});

test("the other pages of the tab go on looking at the link, with what was changed of it", async () => {
  const visit = await visiting();
  visit.page.type("reach", mm("78"));
  visit.page.type("name", { typed: "tried" });
  assert.match(visit.text, /not all as it was sent/);
  for (const hash of ["", "#later"]) {
    const next = await Visit.open(hash, { ofTab: visit.page.tab.ofTab });
    assert.deepEqual([next.value("reach"), next.value("name")], [mm("78"), { typed: "tried" }]);
    assert.match(next.text, /yours are kept\..* not all as it was sent/);
    assert.deepEqual(kept(browser).reach, mm("5"));
  }
  const last = await Visit.open("", { ofTab: visit.page.tab.ofTab });
  last.press("link-sent");
  assert.deepEqual([last.value("reach"), last.value("name")], [mm("77"), null]);
  assert.doesNotMatch(last.text, /as it was sent/);
  last.press("link-back");
  const bare = await Visit.open("", { ofTab: visit.page.tab.ofTab });
  assert.deepEqual(bare.value("reach"), mm("5"));
  assert.equal(bare.text, "");
  // Another tab never looked at it.
  assert.deepEqual((await Visit.open("")).value("reach"), mm("5"));
});

test("what a tab remembers and cannot be read is no link", async () => {
  for (const text of ["{", "null", "[]", '{"fragment": 3}', '{"fragment": "q1.eyJ2ZXJz", "changed": {}}']) {
    keep({ reach: mm("5") });
    const before = new Visit("");
    before.page.tab.ofTab.set(storageKey("link"), text);
    const visit = await Visit.open("", { ofTab: before.page.tab.ofTab });
    assert.deepEqual(visit.value("reach"), mm("5"));
    assert.doesNotMatch(visit.text, /These are values/);
  }
});

test("which bow it is, who set it and when, is said as far as the link says so", async () => {
  /** @type {[Entries, string][]} */
  const told = [
    [{ bow_name: "Club 3", set_by: "AB", set_on: "2026-06-01" }, "“Club 3”, set by AB on 1 June 2026."],
    [{ bow_name: "Club 3", set_on: "2026-06-01" }, "“Club 3”, set on 1 June 2026."],
    [{ bow_name: "Club 3", set_on: "yesterday" }, "“Club 3”."],
  ];
  for (const [entries, words] of told) {
    browser = new FakeBrowser();
    const visit = await Visit.open(fragment(entries));
    assert.ok(visit.text.startsWith(`These are values from a link: ${words} None of it is kept yet.`), visit.text);
  }
});

test("one's own are kept while a link is looked at", async () => {
  const visit = await visiting();
  assert.match(visit.text, /These are values from a link; yours are kept\./);
  assert.deepEqual(visit.value("habit"), { typed: "mine" });
  visit.page.type("reach", mm("78"));
  assert.deepEqual(visit.page.session.shown.reach, mm("78"));
  assert.deepEqual(kept(browser).reach, mm("5"));
  visit.press("link-back");
  assert.deepEqual(visit.value("reach"), mm("5"));
  assert.equal(visit.history.hash, "");
  visit.page.type("reach", mm("6"));
  assert.deepEqual(kept(browser).reach, mm("6"));
});

test("the browser's Back shows the link again", async () => {
  const visit = await visiting();
  visit.press("link-back");
  assert.deepEqual(visit.value("reach"), mm("5"));
  await visit.goTo(() => visit.history.go(-1));
  assert.deepEqual(visit.value("reach"), mm("77"));
  await visit.goTo(() => visit.history.go(1));
  assert.deepEqual(visit.value("reach"), mm("5"));
});

test("keeping a link's values asks first and can be undone", async () => {
  const visit = await visiting();
  visit.press("link-keep");
  assert.match(visit.text, /Replace your own values/);
  assert.ok(visit.hasFocus);
  assert.deepEqual(kept(browser).reach, mm("5"));
  visit.press("link-cancel");
  assert.match(visit.text, /yours are kept/);
  assert.ok(visit.hasFocus);
  visit.press("link-keep");
  visit.press("link-replace");
  assert.deepEqual(kept(browser).reach, mm("77"));
  assert.deepEqual(kept(browser).habit, { typed: "mine" });
  assert.equal(visit.history.hash, "");
  visit.page.undo();
  assert.deepEqual(visit.value("reach"), mm("5"));
  assert.deepEqual(kept(browser).reach, mm("5"));
});

test("a reload keeps looking, and keeps one's own", async () => {
  const visit = await visiting();
  const again = await Visit.open(visit.history.hash);
  assert.deepEqual(again.value("reach"), mm("77"));
  assert.deepEqual(kept(browser).reach, mm("5"));
});

test("a heading of the page changes no values", async () => {
  const visit = await visiting();
  const before = [...visit.package.asked];
  await visit.goTo(() => visit.history.pushState(null, "", "/pages/page.html#later"));
  assert.deepEqual(visit.package.asked, before);
  assert.deepEqual(visit.value("reach"), mm("77"));
});

test("another fragment in the open page is taken up", async () => {
  const visit = await visiting();
  await visit.goTo(() => visit.history.pushState(null, "", `/pages/page.html${fragment({ reach: mm("99") })}`));
  assert.deepEqual(visit.value("reach"), mm("99"));
  assert.deepEqual(kept(browser).reach, mm("5"));
});

test("an answer that comes when the reader has gone on is of no use", async () => {
  keep({ reach: mm("5") });
  const visit = new Visit(THEIRS);
  const opening = visit.link.open();
  visit.history.replaceState(null, "", "/pages/page.html#later");
  await opening;
  assert.deepEqual(visit.value("reach"), mm("5"));
});

test("a link that says what one has is no news", async () => {
  // A text may be written plainly or as an entry: both say the same.
  keep({ reach: mm("5"), name: { typed: "Alder" }, habit: { typed: "mine" } });
  const visit = await Visit.open(fragment({ reach: { unit: "mm", typed: "5" }, name: "Alder" }));
  assert.deepEqual(visit.value("reach"), mm("5"));
  assert.equal(visit.text, "");
  assert.equal(visit.history.hash, "");
});

test("one's own link stays in the address where nothing can be stored", async () => {
  const visit = new Visit(fragment({ reach: mm("5") }), { fault: "SecurityError" });
  visit.page.type("reach", mm("5"));
  await visit.link.open();
  assert.equal(visit.text, "");
  // It is the only place that keeps the values.
  assert.equal(visit.history.hash, fragment({ reach: mm("5") }));
  const again = await Visit.open(visit.history.hash, { fault: "SecurityError" });
  assert.deepEqual(again.value("reach"), mm("5"));
  assert.equal(again.history.hash, fragment({ reach: mm("5") }));
});

test("a link that was cut off changes nothing", async () => {
  keep({ reach: mm("5") });
  const visit = await Visit.open("#q1.eyJ2ZXJz");
  assert.match(visit.text, /Nothing of yours was changed/);
  assert.deepEqual(visit.notes, ["It is not whole JSON."]);
  assert.deepEqual(visit.value("reach"), mm("5"));
  visit.press("close");
  assert.equal(visit.text, "");
});

test("clear while looking leaves the link, and undo brings one's own", async () => {
  const visit = await visiting();
  visit.link.leave();
  visit.page.clear();
  assert.equal(visit.value("reach"), null);
  assert.equal(visit.history.hash, "");
  visit.page.undo();
  assert.deepEqual(visit.value("reach"), mm("5"));
});

test("a link's bow goes to the shelf beside one's own", async () => {
  const own = { reach: mm("5"), bow_name: { typed: "Club" } };
  const shelved = { id: "aaaaaaaa", record: { version: 1, ...own }, times: { reach: 1, bow_name: 2 } };
  keep(own);
  browser.items.set(SHELF, JSON.stringify({ version: 1, bows: [shelved] }));
  const visit = await Visit.open(fragment({ reach: mm("77"), bow_name: { typed: "Other" } }));
  visit.press("link-shelf");
  assert.match(visit.text, /link's bow is saved/);
  assert.deepEqual(visit.value("reach"), mm("5"));
  assert.equal(visit.history.hash, "");
  const [mine, other] = browser.stored(SHELF).bows;
  assert.deepEqual(mine, shelved);
  assert.deepEqual(other.record, { version: 1, reach: mm("77"), bow_name: { typed: "Other" } });
  assert.deepEqual(Object.keys(other.times).sort(), ["bow_name", "reach"]);
  // Once more: it is there already.
  await visit.goTo(() => visit.history.go(-1));
  visit.press("link-shelf");
  assert.match(visit.text, /was saved already/);
  assert.equal(browser.stored(SHELF).bows.length, 2);
});

// Lists of which a link says how things stand

/**
 * @param {string} day
 * @param {string} pull
 */
const row = (day, pull) => ({ day: { typed: day }, pull: { typed: pull, unit: "N" } });
const [ONE, TWO] = [row("2026-03-14", "100"), { day: { typed: "2026-04-01" } }];
const [THREE, FOUR] = [row("2026-05-01", "102"), row("2026-06-01", "103")];

test("one's own link is no news though it lacks what no link carries", async () => {
  keep({ name: "club bow", entries: [ONE], diary: "kept by another page" });
  const visit = await Visit.open(fragment({ name: "club bow" }));
  assert.equal(visit.history.hash, "");
  assert.equal(visit.text, "");
  assert.deepEqual(visit.value("entries"), [ONE]);
});

/** @type {[string, unknown[] | string][]} */
const AT_HOME = [
  ["entries", [ONE, TWO]],
  ["diary", "kept by another page"],
];
for (const [name, own] of AT_HOME) {
  test(`a link's values never take what no link carries: ${name}`, async () => {
    keep({ name: "club bow", [name]: own });
    const visit = await Visit.open(fragment({ name: "other bow" }));
    assert.match(visit.text, /yours are kept/);
    assert.deepEqual(plain(visit.page.session.shown), { version: 1, name: "other bow" });
    visit.press("link-keep");
    visit.press("link-replace");
    assert.match(visit.text, /now yours/);
    const both = { version: 1, name: "other bow", [name]: own };
    assert.deepEqual([kept(browser), plain(visit.page.session.shown)], [both, both]);
    visit.page.clear();
    assert.deepEqual(kept(browser), { version: 1 });
    visit.page.undo();
    assert.deepEqual(kept(browser), both);
  });
}

test("one's own link is no news when it says how things stand", async () => {
  // By its whole list the link that one's own values make is the same.
  keep({ name: "club bow", entries: [ONE, TWO] });
  const visit = await Visit.open(fragment({ name: "club bow", entries: [TWO] }));
  assert.equal(visit.history.hash, "");
  assert.equal(visit.text, "");
  assert.deepEqual(kept(browser).entries, [ONE, TWO]);
  // As they stood before: that is news.
  const other = await Visit.open(fragment({ name: "club bow", entries: [ONE] }));
  assert.match(other.text, /yours are kept/);
  assert.deepEqual(plain(other.page.session.shown), { version: 1, name: "club bow", entries: [ONE] });
});

/** @type {[string, string, object[], object, object[]][]} */
const KEPT = [
  ["the same bow: rows of both", "club bow", [ONE], THREE, [ONE, THREE]],
  ["one that is there", "club bow", [ONE, TWO], TWO, [ONE, TWO]],
  ["more than there may be", "club bow", [ONE, TWO, THREE], FOUR, [ONE, TWO, THREE]],
  ["another bow: its own", "other bow", [ONE, TWO], THREE, [THREE]],
];
for (const [what, name, own, there, rows] of KEPT) {
  test(`rows of a link that is kept: ${what}`, async () => {
    keep({ bow_name: "club bow", entries: own });
    const visit = await Visit.open(fragment({ bow_name: name, entries: [there], reach: "3" }));
    assert.match(visit.text, /yours are kept/);
    assert.deepEqual(visit.page.session.shown.entries, [there]);
    visit.press("link-keep");
    visit.press("link-replace");
    assert.match(visit.text, /now yours/);
    assert.deepEqual(kept(browser).entries, rows);
    visit.page.undo();
    assert.deepEqual(kept(browser), { version: 1, bow_name: "club bow", entries: own });
  });
}

test("where there is nothing but a list, it gets the rows of a link that is kept too", async () => {
  keep({ entries: [ONE] });
  const visit = await Visit.open(fragment({ name: "other bow", entries: [THREE] }));
  assert.match(visit.text, /None of it is kept yet/);
  assert.deepEqual(kept(browser).entries, [ONE]);
  visit.press("link-shelf");
  assert.deepEqual(kept(browser).entries, [ONE, THREE]);
});

test("the same where it is kept by a change, and the list shows the rows of both", async () => {
  keep({ entries: [ONE] });
  const visit = await Visit.open(fragment({ name: "other bow", entries: [THREE] }));
  visit.page.type("reach", mm("4"));
  assert.deepEqual(kept(browser), { version: 1, name: "other bow", entries: [ONE, THREE], reach: mm("4") });
  assert.deepEqual(visit.value("entries"), [ONE, THREE]);
});

test("a list stays where a link without one is kept", async () => {
  keep({ entries: [ONE] });
  const visit = await Visit.open(fragment({ name: "other bow" }));
  visit.press("link-shelf");
  assert.deepEqual(kept(browser), { version: 1, name: "other bow", entries: [ONE] });
});
