// A link that sets a task is whole, or it is refused: nothing missing, nothing changed. What the page does with one is
// looked at in tests/browser/test_practice.py.

import assert from "node:assert/strict";
import { test } from "node:test";

import { isWhole } from "../../docs/assets/browser/task_link.js";

const LEVELS = ["found", "paper", "play"];

/**
 * The check digits of ISO/IEC 7064, MOD 97-10, by their definition: the number with them leaves 1 (from memory; the
 * package's own are checked against a published example in tests/bench).
 * @param {string} level
 * @param {string} task
 * @param {string} lessons
 */
function digits(level, task, lessons) {
  const number = BigInt(`${LEVELS.indexOf(level) + 1}${task.padStart(5, "0")}${lessons.replaceAll(",", "")}00`);
  return String(98n - (number % 97n)).padStart(2, "0");
}

/** @param {string} query */
function said(query) {
  const all = new URLSearchParams(query.replace("RIGHT", digits("paper", "12", "1,3")));
  return { task: all.get("task"), level: all.get("level"), lessons: all.get("lessons"), check: all.get("check") };
}

for (const query of ["task=12&level=paper", "task=99999&level=found", "lessons=1,3&task=12&level=paper&check=RIGHT"]) {
  test(`whole: ${query}`, () => assert.equal(isWhole(said(query), LEVELS), true));
}

for (const query of [
  "task=0&level=paper",
  "task=012&level=paper",
  "task=123456&level=paper",
  "task=1.5&level=paper",
  "task=12&level=hard",
  "task=12&level=",
  "task=<b>&level=paper",
  "task=7",
  "level=paper",
  // Of "lessons=1,3&task=12&level=paper&check=NN": cut, changed, and without its lessons.
  "lessons=1,3",
  "lessons=1,3&task=12",
  "lessons=1,3&task=12&level=paper",
  "lessons=1,3&task=12&level=paper&check=8",
  "lessons=1,4&task=12&level=paper&check=RIGHT",
  "lessons=3,1&task=12&level=paper&check=RIGHT",
  "lessons=1,3&task=21&level=paper&check=RIGHT",
  "lessons=1,3&task=12&level=play&check=RIGHT",
  "task=12&level=paper&check=RIGHT",
  "lessons=1,9&task=12&level=paper&check=RIGHT",
  "check=RIGHT",
]) {
  test(`not whole: ${query}`, () => assert.equal(isWhole(said(query), LEVELS), false));
}

test("of two digits changed places, or any one digit changed, none is whole", () => {
  const right = digits("paper", "12345", "1,3,8");
  for (let place = 0; place < 5; place += 1) {
    for (let digit = 1; digit <= 9; digit += 1) {
      const task = `${"12345".slice(0, place)}${digit}${"12345".slice(place + 1)}`;
      const whole = isWhole({ task, level: "paper", lessons: "1,3,8", check: right }, LEVELS);
      assert.equal(whole, task === "12345", task);
    }
    const [one, two] = "12345".slice(place, place + 2);
    if (two === undefined) continue;
    const task = `${"12345".slice(0, place)}${two}${one}${"12345".slice(place + 2)}`;
    assert.equal(isWhole({ task, level: "paper", lessons: "1,3,8", check: right }, LEVELS), false, task);
  }
});
