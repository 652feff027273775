// What the storage holds of bows, and the tabs that share it.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { storageKey } from "../../docs/assets/browser/site_paths.js";
import { Shelf, readShelf } from "../../docs/assets/browser/shelf.js";
import { FakeBrowser } from "./fake_browser.mjs";
import { bow } from "./made_records.mjs";

/** @import { Bow } from "../../docs/assets/browser/bow.js" */
/** @import { FakeTab } from "./fake_browser.mjs" */

const SHELF = storageKey("bows");
const ASIDE = storageKey("bows put aside");
const GOOD = { id: "aaaaaaaa", record: { version: 1, margin: { typed: "1" } }, times: { margin: 5 } };
const WRONG = [
  null,
  3,
  [],
  {},
  GOOD,
  { ...GOOD, id: 3 },
  { ...GOOD, id: "short" },
  { ...GOOD, id: "../../../x" },
  { ...GOOD, id: "bbbbbbbb", record: [] },
  { ...GOOD, id: "bbbbbbbb", record: { margin: "1" } },
  { ...GOOD, id: "bbbbbbbb", record: { version: 1, margin: true } },
  { ...GOOD, id: "bbbbbbbb", times: { margin: "now" } },
  { ...GOOD, id: "bbbbbbbb", times: null },
];
/** @type {[string | null, string, number][]} */
const STORED = [
  [null, "none", 0],
  [JSON.stringify({ version: 1, bows: [GOOD] }), "good", 1],
  ['{"version": 1, "bows": []}', "good", 0],
  ["{broken", "damaged", 0],
  ["[]", "damaged", 0],
  ["null", "damaged", 0],
  ['{"version": 1, "bows": {}}', "damaged", 0],
  ["[".repeat(50_000), "damaged", 0],
  [JSON.stringify({ version: 2, bows: [GOOD] }), "newer", 0],
  [JSON.stringify({ version: 1, bows: [GOOD, { ...GOOD, id: "bbbbbbbb", record: { version: 2 } }] }), "newer", 0],
];
for (const wrong of WRONG) STORED.push([JSON.stringify({ version: 1, bows: [GOOD, wrong] }), "damaged", 1]);

for (const [text, kind, many] of STORED) {
  test(`what is stored is read as far as it makes sense: ${text?.slice(0, 150)}`, () => {
    const found = readShelf(text, 1);
    assert.deepEqual([found.kind, found.bows.size], [kind, many]);
  });
}

let browser = new FakeBrowser();
/** @type {Set<string>} */
let said = new Set();

beforeEach(() => {
  browser = new FakeBrowser();
  said = new Set();
});

/**
 * What comes of some work with a shelf.
 * @template T
 * @param {(shelf: Shelf) => T} work
 * @param {FakeTab} tab
 */
function put(work, tab = browser.tab()) {
  return tab.run(() => work(new Shelf({ version: 1, say: (text) => said.add(text) })));
}

/**
 * @param {Shelf} shelf
 * @param {Bow[]} bows
 */
function change(shelf, bows) {
  return shelf.change(new Map(bows.map((one) => [one.id, one])));
}

/** @param {string} id */
const some = (id) => bow({ margin: "1" }, undefined, id);

test("two tabs share one shelf", () => {
  const [one, two] = [browser.tab(), browser.tab()];
  assert.equal(put((shelf) => change(shelf, [some("aaaaaaaa")]), one), null);
  const both = put((shelf) => {
    change(shelf, [some("bbbbbbbb")]);
    return [...shelf.bows.keys()];
  }, two);
  assert.deepEqual(both, ["aaaaaaaa", "bbbbbbbb"]);
  assert.deepEqual(put((shelf) => [...shelf.bows.keys()], one), ["aaaaaaaa", "bbbbbbbb"]);
  assert.equal(said.size, 0);
});

test("another tab's change is heard", () => {
  const [one, two] = [browser.tab(), browser.tab()];
  let heard = 0;
  const changed = () => {
    heard += 1;
  };
  one.run(() => new Shelf({ version: 1, say: () => {} }).listen(changed));
  put((shelf) => change(shelf, [some("aaaaaaaa")]), two);
  browser.deliver();
  assert.equal(heard, 1);
});

test("there can be so many and no more", () => {
  const many = Array.from({ length: 600 }, (_, place) => some(String(place).padStart(8, "0")));
  assert.equal(put((shelf) => change(shelf, many)), null);
  assert.match(put((shelf) => change(shelf, [...many, some("onemore0")])) ?? "", /600 bows/);
  assert.equal(browser.stored(SHELF).bows.length, 600);
  const large = bow({ bow_name: "x".repeat(2_000_000) }, undefined, "00000000");
  assert.match(put((shelf) => change(shelf, [large])) ?? "", /too many for one file/);
});

test("a damaged shelf is shown in part and put aside", () => {
  const text = JSON.stringify({ version: 1, bows: [GOOD, 3] });
  browser.items.set(SHELF, text);
  const came = put((shelf) => {
    const before = [...shelf.bows.keys()];
    shelf.change(new Map([["aaaaaaaa", null]]));
    return before;
  });
  assert.deepEqual(came, ["aaaaaaaa"]);
  assert.equal(said.size, 1);
  assert.match([...said][0], /damaged/);
  assert.equal(browser.items.get(ASIDE), text);
  assert.deepEqual(browser.stored(SHELF).bows, []);
});

test("a newer shelf is left as it is", () => {
  const text = JSON.stringify({ version: 2, bows: [GOOD] });
  browser.items.set(SHELF, text);
  assert.match(put((shelf) => change(shelf, [some("bbbbbbbb")])) ?? "", /newer version/);
  assert.equal(said.size, 1);
  assert.equal(browser.items.get(SHELF), text);
});

test("what the browser removed is still there and is stored again", () => {
  const came = put((shelf) => {
    change(shelf, [some("bbbbbbbb")]);
    browser.items.clear();
    const left = [...shelf.bows.keys()];
    shelf.change(new Map());
    return left;
  });
  assert.deepEqual(came, ["bbbbbbbb"]);
  assert.match([...said][0], /has removed the bows/);
  assert.deepEqual(browser.stored(SHELF).bows.map((/** @type {Bow} */ one) => one.id), ["bbbbbbbb"]);
});

/** @type {[string, RegExp][]} */
const FAULTS = [
  ["QuotaExceededError", /storage is full/],
  ["NS_ERROR_DOM_QUOTA_REACHED", /storage is full/],
  ["SecurityError", /does not let the page keep/],
];
for (const [fault, words] of FAULTS) {
  test(`without storage the shelf lasts as long as the page: ${fault}`, () => {
    const tab = browser.tab();
    tab.fault = fault;
    const came = put((shelf) => {
      change(shelf, [some("aaaaaaaa"), some("bbbbbbbb")]);
      shelf.change(new Map([["aaaaaaaa", null]]));
      return [[...shelf.bows.keys()], shelf.isStored, shelf.isForbidden];
    }, tab);
    assert.deepEqual(came, [["bbbbbbbb"], false, fault === "SecurityError"]);
    assert.equal(said.size, 1);
    assert.match([...said][0], words);
  });
}
