// The text that is kept in the browser: the record, for each field when it last changed, and which bow it is: {id, time},
// its id on the shelf, or null, and when it came to the bench. A time without an entry says when a field was emptied, so
// that another tab does not bring it back.

import { isEntry, namesOf } from "./entry.js";

const LONGEST = 200_000;

/** The text of a record, its times, and the bow that it is; null before another one ever was. */
export function writeStored(record, times, bow = null) {
  return JSON.stringify(bow === null ? { record, times } : { record, times, bow });
}

/**
 * What a stored text is: {kind: "none"}, {kind: "good", record, times, bow}, {kind: "newer"} for a later version's, which
 * is not ours to touch, or {kind: "damaged"}. Whether the entries make sense is the package's business.
 */
export function readStored(text, version) {
  if (text === null) return { kind: "none" };
  const data = text.length > LONGEST ? null : parse(text);
  const record = data?.record;
  if (!isObject(record) || !isObject(data.times)) return { kind: "damaged", recoverable: text };
  const recoverable = JSON.stringify(record);
  if (Number.isInteger(record.version) && record.version > version) return { kind: "newer", recoverable };
  const whole =
    record.version === version &&
    namesOf(record).every((name) => isEntry(record[name])) &&
    Object.values(data.times).every(Number.isFinite);
  if (!whole) return { kind: "damaged", recoverable };
  // A field without a time was read from a damaged text: the earliest time, so that any later change wins.
  const times = Object.fromEntries(namesOf(record).map((name) => [name, 1]));
  return {
    kind: "good",
    record: { __proto__: null, ...record },
    times: { __proto__: null, ...times, ...data.times },
    bow: isBow(data.bow) ? data.bow : null,
  };
}

/** When a bow came to the bench, in milliseconds; 0 for the first one. */
export function since(bow) {
  return bow?.time ?? 0;
}

/** Which of two bows came to the bench later: the first above 0, the second below. One that has an id is later than without. */
export function compareBows(one, other) {
  const [ours, theirs] = [one?.id ?? "", other?.id ?? ""];
  return since(one) - since(other) || Number(ours > theirs) - Number(ours < theirs);
}

/** Whether two are one bow, the one perhaps before it got its id. */
export function isSameBow(one, other) {
  const ids = [one?.id ?? null, other?.id ?? null];
  return since(one) === since(other) && (ids[0] === ids[1] || ids.includes(null));
}

function isBow(value) {
  return isObject(value) && (value.id === null || typeof value.id === "string") && Number.isFinite(value.time);
}

function parse(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
