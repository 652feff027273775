// A bow of the shelf: names, two states made one, what comes back from the bench. What a merge of drawn records must give
// is worked out in test_shelf.py.

import assert from "node:assert/strict";
import { test } from "node:test";

import { allRows, freeName, merged, newId, returned } from "../../docs/assets/browser/bow.js";
import { bow, plain } from "./made_records.mjs";

/** @import { Entry } from "../../docs/assets/browser/entry.js" */

test("a field emptied later stays empty, and one entered later comes back", () => {
  const full = bow({ margin: "1" }, { margin: 5 });
  const [emptiedLater, emptiedBefore] = [bow({}, { margin: 6 }), bow({}, { margin: 4 })];
  /**
   * @param {typeof full} one
   * @param {typeof full} other
   */
  const record = (one, other) => plain(merged(one, other, {}).bow?.record);
  assert.deepEqual(record(full, emptiedLater), { version: 1 });
  assert.deepEqual(record(full, emptiedBefore), { version: 1, margin: "1" });
  assert.deepEqual(record(emptiedBefore, full), { version: 1, margin: "1" });
  assert.deepEqual(record(emptiedLater, full), { version: 1 });
});

test("hostile names are names", () => {
  const theirs = JSON.parse(
    '{"id":"aaaaaaaa","record":{"version":1,"constructor":"x"},"times":{"__proto__":9,"toString":9,"constructor":9}}',
  );
  const { bow: one } = merged(bow({ margin: "1" }), theirs, Object.create(null));
  assert.equal(one?.record.constructor, "x");
  assert.equal(/** @type {{ x?: unknown }} */ ({}).x, undefined);
});

test("what comes back from the bench keeps the times of what was not touched", () => {
  // There every exchanged field got the time of the exchange, 100; later one was entered and one emptied.
  const before = bow({ a: "1", b: "2", c: "3" }, { a: 1, b: 2, c: 3, d: 4 });
  const record = { version: 1, a: { typed: "1" }, b: "22", e: "5" };
  const times = { a: 100, b: 120, c: 130, d: 100, e: 140 };
  assert.deepEqual(plain(returned("aaaaaaaa", record, times, before)), {
    id: "aaaaaaaa",
    record,
    times: { a: 1, b: 120, c: 130, d: 4, e: 140 },
  });
  assert.deepEqual(plain(returned("bbbbbbbb", record, times, null)), { id: "bbbbbbbb", record, times });
});

test("only two lists of events get the rows of both", () => {
  const [rows, others] = [[{ day: "1" }], [{ day: "2" }]];
  /**
   * @param {Entry} mine
   * @param {Entry} other
   */
  const both = (mine, other, lists = { log: 60 }) =>
    merged(bow({ log: mine }, { log: 5 }), bow({ log: other }, { log: 6 }), lists).bow?.record.log;
  assert.deepEqual(both(rows, others), [...rows, ...others]);
  assert.equal(both(rows, "text"), "text");
  assert.deepEqual(both("text", others), others);
  assert.deepEqual(both(rows, others, /** @type {never} */ ({})), others);
  assert.deepEqual(allRows(rows, others, 2), [...rows, ...others]);
  assert.deepEqual(allRows(rows, others, 1), rows);
  assert.deepEqual(allRows(rows, "text", 9), rows);
  assert.equal(allRows("text", others, 9), "text");
});

test("a name that is taken gets a number and never grows too long", () => {
  assert.equal(freeName("Club", [], 60), "Club");
  assert.equal(freeName("Club", ["Club"], 60), "Club 2");
  assert.equal(freeName("Club", ["Club", "Club 2", "Club 3"], 60), "Club 4");
  for (const letter of ["弓", "😀"]) {
    assert.equal(freeName(letter.repeat(60), [letter.repeat(60)], 60), `${letter.repeat(58)} 2`);
  }
});

test("an id is one that the shelf takes, and no two are the same", () => {
  const ids = Array.from({ length: 100 }, newId);
  for (const id of ids) assert.match(id, /^[0-9a-f]{16}$/);
  assert.equal(new Set(ids).size, 100);
});
