// The text that is kept in the browser: the record, and for each field when it last changed.
// A time without an entry says when a field was emptied, so that another tab does not bring it back.

import { isEntry, namesOf } from "./entry.js";

const LONGEST = 200_000;

/** The text of a record and its times. */
export function writeKept(record, times) {
  return JSON.stringify({ record, times });
}

/**
 * What a stored text is: {kind: "none"}, {kind: "good", record, times}, {kind: "newer"} for a later version's, which
 * is not ours to touch, or {kind: "damaged"}. Whether the entries make sense is the package's business.
 */
export function readKept(text, version) {
  if (text === null) return { kind: "none" };
  const data = text.length > LONGEST ? null : parse(text);
  const record = data?.record;
  if (!isObject(record) || !isObject(data.times)) return { kind: "damaged", claims: text };
  const claims = JSON.stringify(record);
  if (Number.isInteger(record.version) && record.version > version) return { kind: "newer", claims };
  const whole =
    record.version === version &&
    namesOf(record).every((name) => isEntry(record[name])) &&
    Object.values(data.times).every(Number.isFinite);
  if (!whole) return { kind: "damaged", claims };
  // A field without a time was read from a damaged text: the earliest time, so that any later change wins.
  const times = Object.fromEntries(namesOf(record).map((name) => [name, 1]));
  return { kind: "good", record, times: { ...times, ...data.times } };
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
