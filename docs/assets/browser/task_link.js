// A link that sets a task on the practice bench: its number and level, and its lessons, are entered once, and the address is
// as before.

import { typedOf } from "./entry.js";

const PARTS = ["task", "level", "lessons", "check"];
/** A task's number as an address has it. */
export const TASK = /^[1-9]\d{0,4}$/;
const LEVEL = /^[a-z]{1,10}$/;
const LESSONS = /^[1-8](,[1-8]){0,7}$/;
const CHECK = /^\d\d$/;

/** @import { PageForm } from "./page_form.js" */

/**
 * What a link says, null for what it does not.
 * @typedef {{ task: string | null, level: string | null, lessons: string | null, check: string | null }} Said
 */

/**
 * Enter what the address sets, where this page has a task's boxes. What was done with another bolt, and with lessons of the
 * task, is cleared, and can be had back.
 * @param {PageForm} page
 */
export function takeTask(page) {
  const said = takeFromAddress(page);
  if (said === null) return;
  const task = said.task ?? "";
  const level = said.level ?? "";
  if (!isWhole(said, levelsOf(page))) {
    page.status.say("This link to a task is not whole. Ask for it again, or type the number of the task.", "task");
    return;
  }
  const { own } = page.session;
  const lessons = said.lessons?.replaceAll(",", ", ") ?? "";
  const stood = ["task", "level", "lessons"].map((name) => typedOf(own[`practice_${name}`]));
  if (stood.join(";") === [task, level, lessons].join(";")) return;
  /** @type {{ [name: string]: import("./entry.js").Entry | null }} */
  const entries = {};
  const cleared = lessons === "" ? ["practice_"] : ["practice_", "lesson_"];
  for (const name of Object.keys(own)) if (cleared.some((start) => name.startsWith(start))) entries[name] = null;
  entries.practice_task = { typed: task, unit: "count" };
  entries.practice_level = { typed: level };
  if (lessons !== "") entries.practice_lessons = { typed: lessons };
  page.session.changeAll(entries);
  page.status.say(`Task ${task}: enter your number in the class.`, "task");
}

/**
 * What the address says of a task, which it then says no more; null where it says nothing of one.
 * @param {PageForm} page
 * @returns {Said | null}
 */
function takeFromAddress(page) {
  const asked = new URL(location.href);
  const { searchParams } = asked;
  if (!page.form.fields.has("practice_task") || !["task", "lessons", "check"].some((name) => searchParams.has(name))) return null;
  const [task, level, lessons, check] = PARTS.map((name) => searchParams.get(name));
  for (const name of PARTS) searchParams.delete(name);
  history.replaceState(history.state, "", asked);
  return { task, level, lessons, check };
}

/**
 * The levels that can be chosen, in their order.
 * @param {PageForm} page
 */
function levelsOf(page) {
  const options = page.section.querySelectorAll("input[name=practice_level]");
  return [...options].map((one) => (one instanceof HTMLInputElement ? one.value : ""));
}

/**
 * Whether nothing of a link is missing or was changed: with lessons it ends in the check digits of ISO/IEC 7064, MOD 97-10
 * (practice_task.py).
 * @param {Said} said
 * @param {string[]} levels
 */
export function isWhole({ task, level, lessons, check }, levels) {
  const place = LEVEL.test(level ?? "") ? levels.indexOf(level ?? "") : -1;
  if (!TASK.test(task ?? "") || place < 0) return false;
  if (lessons === null && check === null) return true;
  if (!LESSONS.test(lessons ?? "") || !CHECK.test(check ?? "")) return false;
  const digits = `${place + 1}${task?.padStart(5, "0")}${lessons?.replaceAll(",", "")}${check}`;
  return [...digits].reduce((rest, digit) => (rest * 10 + Number(digit)) % 97, 0) === 1;
}
