// The unit of boxes in which nothing stands: chosen once, it is chosen for all of a kind; what was typed keeps its own.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { UsualUnits } from "../../docs/assets/browser/usual_units.js";

/** @import { Entries } from "../../docs/assets/browser/entry.js" */
/** @import { UnitMenu } from "../../docs/assets/browser/usual_units.js" */

const LENGTHS = ["mm", "in"];
const NAMES = { "mm in": ["one", "two", "three", "elsewhere"], "in mm": ["draw"], "lbf N": ["pull"] };

/** @type {Entries} */
let record = {};
/** @type {{ [name: string]: { units: string[], value: string, told: number } }} */
let boxes = {};
/** @type {string | null} */
let active = null;

beforeEach(() => {
  record = {};
  active = null;
  boxes = {};
  for (const [name, units] of /** @type {[string, string[]][]} */ ([
    ["one", LENGTHS],
    ["two", LENGTHS],
    ["three", LENGTHS],
    ["draw", ["in", "mm"]],
    ["pull", ["lbf", "N"]],
  ])) {
    boxes[name] = { units, value: units[0], told: 0 };
  }
  Object.assign(globalThis, { document: { get activeElement() { return active; } } });
});

/**
 * The menus of the boxes, as far as the module looks at one.
 * @returns {UnitMenu[]}
 */
function menus() {
  return Object.entries(boxes).map(([name, box]) => ({
    menu: /** @type {HTMLSelectElement} */ (
      /** @type {unknown} */ (
        Object.assign(box, {
          options: box.units.map((value) => ({ value })),
          dataset: box.units === LENGTHS ? { usual: "unit" } : {},
          closest: () => ({ contains: (/** @type {unknown} */ element) => element === name }),
        })
      )
    ),
    isEmpty: () => !(name in record),
    changed: () => {
      box.told += 1;
    },
  }));
}

/** What the menus show. */
const shown = () => Object.fromEntries(Object.entries(boxes).map(([name, { value }]) => [name, value]));

/**
 * The reader chooses in a menu.
 * @param {UsualUnits} units
 * @param {string} name
 * @param {string} value
 */
function choose(units, name, value) {
  boxes[name].value = value;
  units.touched(/** @type {EventTarget} */ (/** @type {unknown} */ (boxes[name])), record);
}

const START = { one: "mm", two: "mm", three: "mm", draw: "in", pull: "lbf" };

test("while nothing is entered or chosen, each begins as the page has it", () => {
  const units = new UsualUnits(menus(), NAMES);
  units.follow(record);
  assert.deepEqual(shown(), START);
  assert.ok(Object.values(boxes).every(({ told }) => told === 0));
});

test("what is chosen in one is chosen in all of its kind that are empty, and each is told once", () => {
  record = { two: { typed: "5", unit: "mm" } };
  const units = new UsualUnits(menus(), NAMES);
  choose(units, "one", "in");
  assert.deepEqual(shown(), { ...START, one: "in", three: "in" });
  units.follow(record);
  assert.deepEqual(Object.values(boxes).map(({ told }) => told), [0, 0, 1, 0, 0]);
  choose(units, "pull", "N");
  assert.equal(boxes.draw.value, "in", "a draw length is of another kind");
});

test("where the reader chose it stays, whatever is chosen elsewhere", () => {
  const units = new UsualUnits(menus(), NAMES);
  choose(units, "one", "in");
  choose(units, "two", "mm");
  assert.deepEqual(shown(), { ...START, one: "in", two: "mm", three: "mm" });
  record = { one: { typed: "3", unit: "in" } };
  units.follow(record);
  assert.deepEqual(shown(), { ...START, one: "in", two: "mm", three: "mm" });
});

test("on another page the unit of more than half of the entries is taken, of fields that are not there too", () => {
  const units = new UsualUnits(menus(), NAMES);
  record = { elsewhere: { typed: "3", unit: "in" }, draw: { typed: "700", unit: "mm" } };
  units.follow(record);
  assert.deepEqual(shown(), { ...START, one: "in", two: "in", three: "in" });
  record = { ...record, one: { typed: "4", unit: "mm" } };
  units.follow(record);
  assert.equal(boxes.two.value, "mm", "as many of either: as the page begins");
  record = { ...record, pull: { typed: "4", unit: "kgf" } };
  units.follow(record);
  assert.deepEqual(shown(), { ...START, one: "in" });
});

test("the setting for all pages comes before what was typed, and a choice on the page before that", () => {
  const units = new UsualUnits(menus(), NAMES);
  record = { elsewhere: { typed: "3", unit: "mm" }, unit: { typed: "in" } };
  units.follow(record);
  assert.equal(boxes.two.value, "in");
  choose(units, "one", "mm");
  assert.equal(boxes.two.value, "mm");
  const other = new UsualUnits(menus(), NAMES);
  record = { unit: { typed: "furlong" } };
  boxes.two.value = "in";
  other.follow(record);
  assert.equal(boxes.two.value, "mm", "what no menu offers is no setting");
});

test("the box that the reader is in stays as it is", () => {
  const units = new UsualUnits(menus(), NAMES);
  active = "two";
  choose(units, "one", "in");
  assert.deepEqual(shown(), { ...START, one: "in", three: "in" });
  active = null;
  units.follow(record);
  assert.equal(boxes.two.value, "in");
});
