// A link that sets a task on the practice bench: its number and level are entered once, and the address is as before.

import { typedOf } from "./entry.js";

/** A task's number as an address has it. */
export const TASK = /^[1-9]\d{0,4}$/;
const LEVEL = /^[a-z]{1,10}$/;

/** @import { PageForm } from "./page_form.js" */

/**
 * Enter what the address sets, where this page has a task's boxes. What was done with another bolt is cleared, and can be
 * had back.
 * @param {PageForm} page
 */
export function takeTask(page) {
  const asked = new URL(location.href);
  const task = asked.searchParams.get("task");
  const level = asked.searchParams.get("level") ?? "";
  if (task === null || !page.form.fields.has("practice_task")) return;
  for (const name of ["task", "level"]) asked.searchParams.delete(name);
  history.replaceState(history.state, "", asked);
  const option = LEVEL.test(level) && page.section.querySelector(`input[name=practice_level][value=${level}]`);
  if (!TASK.test(task) || !option) {
    page.status.say("This link to a task is not whole. Ask for it again, or type the number of the task.", "task");
    return;
  }
  const { own } = page.session;
  const isSame = typedOf(own.practice_task) === task && typedOf(own.practice_level) === level;
  if (isSame) return;
  /** @type {{ [name: string]: import("./entry.js").Entry | null }} */
  const entries = {};
  for (const name of Object.keys(own)) if (name.startsWith("practice_")) entries[name] = null;
  entries.practice_task = { typed: task, unit: "count" };
  entries.practice_level = { typed: level };
  page.session.changeAll(entries);
  page.status.say(`Task ${task}: enter your number in the class.`, "task");
}
