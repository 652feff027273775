// Bows and records for the tests of modules that need no page.

/** @import { Bow } from "../../docs/assets/browser/bow.js" */
/** @import { Entries, Times } from "../../docs/assets/browser/entry.js" */

/**
 * A bow with these entries, each of them entered at 5.
 * @param {Entries} entries
 * @param {Times} times
 * @returns {Bow}
 */
export function bow(entries, times = Object.fromEntries(Object.keys(entries).map((name) => [name, 5])), id = "aaaaaaaa") {
  return { id, record: { version: 1, ...entries }, times };
}

/**
 * A value as JSON has it: without what is undefined, and with the prototypes that a literal has.
 * @param {unknown} value
 */
export function plain(value) {
  return JSON.parse(JSON.stringify(value));
}

/**
 * Rows of a log, one a day.
 * @param {...string} days
 */
export function logOf(...days) {
  return days.map((date) => ({ date }));
}
