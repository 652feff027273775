// Entries, numbers, conditions and rows: what these small modules promise, case by case.

import assert from "node:assert/strict";
import { test } from "node:test";

import { holds } from "../../docs/assets/browser/conditions.js";
import { today } from "../../docs/assets/browser/date_input.js";
import { compareEntries, isEntry, placeOf, sameEntry, typedOf, unitOf } from "../../docs/assets/browser/entry.js";
import { mergeRows } from "../../docs/assets/browser/merge_rows.js";
import { formatTyped, parseTyped } from "../../docs/assets/browser/number.js";

test("an entry is read in whichever way it is written", () => {
  for (const [entry, typed, unit] of [
    ["5", "5", null],
    [5, "5", null],
    [{ typed: "5", unit: "mm" }, "5", "mm"],
    [{ typed: 5 }, "5", null],
    [{ typed: null, unit: 3 }, "", null],
    [undefined, "", null],
    [null, "", null],
    [[], "", null],
  ]) {
    assert.deepEqual([typedOf(entry), unitOf(entry)], [typed, unit]);
  }
});

test("what says the same is the same, and has an order with what does not", () => {
  /** @type {[unknown, unknown][]} */
  const alike = [
    ["5", { typed: 5 }],
    [undefined, null],
    [[{ a: "1", b: { typed: "2" } }], [{ b: "2", a: { typed: "1", unit: null } }]],
    [[], [...[]]],
  ];
  for (const [one, other] of alike) {
    assert.ok(sameEntry(one, other));
    assert.equal(compareEntries(one, other), 0);
  }
  const different = ["5", "6", { typed: "5", unit: "mm" }, { typed: "5", unit: "in" }, null, [], [{}], [{ a: "1" }]];
  for (const [place, one] of different.entries()) {
    for (const other of different.slice(place + 1)) {
      assert.ok(!sameEntry(one, other), JSON.stringify([one, other]));
      assert.equal(compareEntries(one, other), -compareEntries(other, one));
      assert.notEqual(compareEntries(one, other), 0);
    }
  }
});

test("the shape of an entry", () => {
  for (const entry of ["", "5", 5, [], { typed: undefined }, { typed: [] }]) assert.ok(isEntry(entry));
  for (const other of [null, undefined, true, {}, { unit: "mm" }]) assert.ok(!isEntry(other));
});

test("a problem's place is a field or a box of a list", () => {
  assert.deepEqual(placeOf("reach"), { name: "reach" });
  assert.deepEqual(placeOf("steps.2.far"), { name: "steps", row: 2, column: "far" });
});

test("numbers as people type them", () => {
  for (const [text, number] of /** @type {[string, number | null][]} */ ([
    ["7", 7],
    [" 7,25 ", 7.25],
    ["7.25", 7.25],
    [".5", 0.5],
    [",5", 0.5],
    ["5.", 5],
    ["+3", 3],
    ["-3", -3],
    ["\u22123", -3],
    ["7 or 8", null],
    ["1,000.5", null],
    ["1e3", null],
    ["0x10", null],
    ["", null],
    [".", null],
  ])) {
    assert.equal(parseTyped(text), number, text);
  }
  assert.equal(formatTyped(8.5, 2), "8.50");
  assert.equal(formatTyped("8.5", 2, "7,25"), "8,50");
});

test("a condition holds where each of its parts does", () => {
  const record = { way: { typed: "both" }, kind: "metric" };
  for (const condition of ["way=both", "way=other|both", "way=both&kind=metric", "detail=", "detail=|3"]) {
    assert.ok(holds(condition, record), condition);
  }
  for (const condition of ["way=one", "way=both&kind=unified", "way=", "detail=3", "constructor=x"]) {
    assert.ok(!holds(condition, record), condition);
  }
});

test("the reader's own day as ISO writes it", () => {
  assert.equal(today(new Date(2026, 2, 4, 23, 59)), "2026-03-04");
  assert.equal(today(new Date(2026, 11, 31)), "2026-12-31");
});

const [ONE, TWO, THREE, FOUR] = ["1", "2", "3", "4"].map((typed) => ({ far: { typed } }));

test("rows of both tabs stay", () => {
  const base = [ONE, TWO];
  /** @type {[string, object[] | null, object[] | null, object[] | null][]} */
  const cases = [
    ["nothing there", [ONE, THREE], base, [ONE, THREE]],
    ["one was added there", [ONE, THREE], [ONE, TWO, FOUR], [ONE, THREE, FOUR]],
    ["one was removed there", [ONE, TWO, THREE], [TWO], [TWO, THREE]],
    ["one was changed there, in its place", [ONE, TWO, FOUR], [THREE, TWO], [THREE, TWO, FOUR]],
    ["both changed one", [THREE, TWO], [FOUR, TWO], [THREE, TWO, FOUR]],
    ["both added the same", [ONE, TWO, THREE], [ONE, TWO, THREE], [ONE, TWO, THREE]],
    ["all was removed there", base, null, null],
    ["all was removed here, and one added there", null, [ONE, TWO, FOUR], [FOUR]],
    ["all was removed here", null, base, null],
  ];
  for (const [name, mine, theirs, wanted] of cases) assert.deepEqual(mergeRows(mine, theirs, base), wanted, name);
});

test("where the other tab's entry is no list, one's own stays", () => {
  assert.deepEqual(mergeRows([ONE], "text", [TWO]), [ONE]);
});
