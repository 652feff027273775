// The text that is kept in the browser: the record, for each field when it last changed, and which bow it is: {id, time},
// its id on the shelf, or null, and when it came to the bench. A time without an entry says when a field was emptied, so
// that another tab does not bring it back.

import { isEntry, namesOf } from "./entry.js";
import { isObject, parseJson, withoutPrototype } from "./json.js";

/** @import { Entries, Times } from "./entry.js" */

/**
 * Which bow lies on the bench: its id on the shelf, null where it has none, and since when it lies there.
 * @typedef {{ id: string | null, time: number }} BenchBow
 */

/**
 * A record as it is stored: null for its bow before another one ever was.
 * @typedef {{ record: Entries, times: Times, bow: BenchBow | null }} RecordState
 */

/**
 * What a stored text is. Of a newer or damaged one `recoverable` is the text that the package can try to read.
 * @typedef {{ kind: "none" } | { kind: "good" } & RecordState | { kind: "newer" | "damaged", recoverable: string }} Stored
 */

const LONGEST = 200_000;

/**
 * The text of a record, its times, and the bow that it is.
 * @param {Entries} record
 * @param {Times} times
 * @param {BenchBow | null} bow
 */
export function writeStored(record, times, bow = null) {
  return JSON.stringify(bow === null ? { record, times } : { record, times, bow });
}

/**
 * What a stored text is; a later version's is not ours to touch. Whether the entries make sense is the package's business.
 * @param {string | null} text
 * @param {number} version
 * @returns {Stored}
 */
export function readStored(text, version) {
  if (text === null) return { kind: "none" };
  const data = text.length > LONGEST ? null : parseJson(text);
  if (!isObject(data) || !isObject(data.record) || !isObject(data.times)) return { kind: "damaged", recoverable: text };
  const { record, times, bow } = data;
  const recoverable = JSON.stringify(record);
  if (isLater(record.version, version)) return { kind: "newer", recoverable };
  if (record.version !== version || !isEntries(record) || !isTimes(times)) return { kind: "damaged", recoverable };
  // A field without a time was read from a damaged text: the earliest time, so that any later change wins.
  const earliest = Object.fromEntries(namesOf(record).map((name) => [name, 1]));
  return {
    kind: "good",
    record: withoutPrototype(record),
    times: withoutPrototype(earliest, times),
    bow: isBenchBow(bow) ? bow : null,
  };
}

/**
 * Whether all of an object but its version are entries.
 * @param {Record<string, unknown>} record
 * @returns {record is Entries}
 */
export function isEntries(record) {
  return namesOf(record).every((name) => isEntry(record[name]));
}

/**
 * Whether all of an object are times.
 * @param {Record<string, unknown>} times
 * @returns {times is Times}
 */
export function isTimes(times) {
  return Object.values(times).every(Number.isFinite);
}

/**
 * When a bow came to the bench, in milliseconds; 0 for the first one.
 * @param {BenchBow | null} bow
 */
export function since(bow) {
  return bow?.time ?? 0;
}

/**
 * Which of two bows came to the bench later: the first above 0, the second below. One that has an id is later than without.
 * @param {BenchBow | null} one
 * @param {BenchBow | null} other
 */
export function compareBows(one, other) {
  const [ours, theirs] = [one?.id ?? "", other?.id ?? ""];
  return since(one) - since(other) || Number(ours > theirs) - Number(ours < theirs);
}

/**
 * Whether two are one bow, the one perhaps before it got its id.
 * @param {BenchBow | null} one
 * @param {BenchBow | null} other
 */
export function isSameBow(one, other) {
  const ids = [one?.id ?? null, other?.id ?? null];
  return since(one) === since(other) && (ids[0] === ids[1] || ids.includes(null));
}

/**
 * @param {unknown} value
 * @returns {value is BenchBow}
 */
function isBenchBow(value) {
  return isObject(value) && (value.id === null || typeof value.id === "string") && Number.isFinite(value.time);
}

/**
 * @param {unknown} found
 * @param {number} version
 */
function isLater(found, version) {
  return typeof found === "number" && Number.isInteger(found) && found > version;
}
