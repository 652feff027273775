// One entry of the flat record: {"typed": text, "unit": unit}. A plain text or number is accepted from outside.
// The entry of a list is an array of rows, each an object with an entry a column.

import { isObject } from "./json.js";

/**
 * An entry as far as it is checked here: what stands in its parts is the package's business.
 * @typedef {string | number | unknown[] | { typed: unknown, unit?: unknown }} Entry
 */

/**
 * Entries by the names of their fields; a record has its version among them.
 * @typedef {{ [name: string]: Entry }} Entries
 */

/**
 * When each field was last entered or emptied, in milliseconds.
 * @typedef {{ [name: string]: number }} Times
 */

/**
 * Where a problem lies: a field, or a box of a list, its row counted from 1.
 * @typedef {{ name: string, row?: number, column?: string }} Place
 */

/**
 * The typed text of an entry; "" when there is none.
 * @param {unknown} entry
 */
export function typedOf(entry) {
  const typed = isObject(entry) ? entry.typed : entry;
  return typeof typed === "string" || typeof typed === "number" ? String(typed) : "";
}

/**
 * The unit of an entry, or null when it names none.
 * @param {unknown} entry
 */
export function unitOf(entry) {
  return isObject(entry) && typeof entry.unit === "string" ? entry.unit : null;
}

/**
 * Whether two entries say the same, written in whichever way; an absent one is undefined or null.
 * @param {unknown} one
 * @param {unknown} other
 */
export function sameEntry(one, other) {
  return canonical(one) === canonical(other);
}

/**
 * An order of entries, the same in every tab: what says the same is 0.
 * @param {unknown} one
 * @param {unknown} other
 */
export function compareEntries(one, other) {
  const [first, second] = [canonical(one), canonical(other)];
  return Number(first > second) - Number(first < second);
}

/**
 * One text for all ways of writing an entry.
 * @param {unknown} entry
 * @returns {string}
 */
function canonical(entry) {
  if (Array.isArray(entry)) return JSON.stringify(entry.map(canonicalRow));
  const [typed, unit] = isObject(entry) ? [entry.typed, entry.unit] : [entry, null];
  return JSON.stringify([typeof typed === "number" ? String(typed) : (typed ?? null), unit ?? null]);
}

/** @param {unknown} row */
function canonicalRow(row) {
  if (!isObject(row)) return [];
  return Object.keys(row).sort().map((column) => [column, canonical(row[column])]);
}

/**
 * Where a problem lies: {name} for a field, {name, row, column} for a box of a list, "name.2.column".
 * @param {string} field
 * @returns {Place}
 */
export function placeOf(field) {
  const [name, row, column] = field.split(".");
  return row === undefined ? { name } : { name, row: Number(row), column };
}

/**
 * Whether a value has the shape of an entry. What it means is the package's business.
 * @param {unknown} value
 * @returns {value is Entry}
 */
export function isEntry(value) {
  if (isObject(value)) return "typed" in value;
  return typeof value === "string" || typeof value === "number" || Array.isArray(value);
}

/**
 * The names in a record, without its version.
 * @param {object} record
 */
export function namesOf(record) {
  return Object.keys(record).filter((name) => name !== "version");
}
