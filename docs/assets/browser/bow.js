// A bow as it lies on the shelf: {id, record, times}. Pure functions: two states of a bow made one, names, dates.
// A time without an entry says when a field was emptied.

import { namesOf, sameEntry, typedOf } from "./entry.js";

// The one field that these modules know by its meaning.
const NAME = "bow_name";

/** An id that nothing else has: the file that leaves this browser is known again by it. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(8));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

export function nameOf(record) {
  return typedOf(record[NAME]).trim();
}

/** A bow's name between quotation marks. */
export function called({ record }) {
  return `“${nameOf(record) || "unnamed"}”`;
}

/** The bow with another entry of one field, null for none: as from now on, or as if it had always been so. */
export function withEntry(bow, name, entry, time = null) {
  const record = { __proto__: null, ...bow.record };
  if (entry === null) delete record[name];
  else record[name] = entry;
  const times = { __proto__: null, ...bow.times };
  if (time !== null) times[name] = Math.max(time, (times[name] ?? 0) + 1);
  return { ...bow, record, times };
}

/** The bow under another name, in the same way. */
export function renamed(bow, name, time = null) {
  return withEntry(bow, NAME, name === "" ? null : { typed: name }, time);
}

/** A name that none of these has, with a number behind it where need be, and no longer than `most`. */
export function freeName(name, names, most) {
  const taken = new Set(names);
  for (let number = 1; ; number += 1) {
    const end = number === 1 ? "" : ` ${number}`;
    const text = [...name].slice(0, most - end.length).join("").trimEnd() + end;
    if (!taken.has(text)) return text;
  }
}

/** When anything of it was last entered or emptied, in milliseconds; 0 where that is not known. */
export function changedAt({ times }) {
  return Math.max(0, ...Object.values(times));
}

/** Whether two bows say the same, field by field. */
export function sameRecord(one, other) {
  return [...new Set([...namesOf(one), ...namesOf(other)])].every((name) => sameEntry(one[name], other[name]));
}

/**
 * The bow that comes back from the bench. What is as it was when it went there keeps its time: on the bench all that was
 * exchanged got a new one, so that the other tabs followed.
 */
export function returned(id, record, times, before) {
  const bow = { id, record: { __proto__: null, version: record.version }, times: { __proto__: null } };
  for (const name of new Set([...namesOf(record), ...Object.keys(times), ...Object.keys(before?.times ?? {})])) {
    const had = before?.record[name];
    if (name in record) bow.record[name] = record[name];
    const time = before && sameEntry(had, record[name]) ? before.times[name] : times[name];
    if (time !== undefined) bow.times[name] = time;
  }
  return bow;
}

/**
 * Two states of one bow made one: of each field the later entry counts, ours where they are equally old. `lists` names
 * lists whose rows are events, each with the most rows there may be: they get the rows of both. {bow, came, stayed}: the
 * fields that came from theirs, and those in which ours stayed; bow null where a list would be too long for both.
 */
export function merged(ours, theirs, lists) {
  const bow = { id: ours.id, record: { __proto__: null, ...ours.record }, times: { __proto__: null, ...ours.times } };
  const came = [];
  const stayed = [];
  for (const name of new Set([...namesOf(theirs.record), ...Object.keys(theirs.times)])) {
    const [mine, other] = [ours.record[name], theirs.record[name]];
    const [since, later] = [timeOf(ours, name), timeOf(theirs, name)];
    if (name in ours.times || name in theirs.times) bow.times[name] = Math.max(since, later);
    if (sameEntry(mine, other)) continue;
    const bothRows = Object.hasOwn(lists, name) && Array.isArray(mine) && Array.isArray(other);
    const entry = bothRows ? [...mine, ...missing(other, mine)] : other;
    if (bothRows && entry.length > lists[name]) return { bow: null, came, stayed };
    if (bothRows ? entry.length === mine.length : later <= since) {
      stayed.push(name);
      continue;
    }
    if (entry === undefined) delete bow.record[name];
    else bow.record[name] = entry;
    came.push(name);
  }
  return { bow, came, stayed };
}

/** A field that never had an entry is older than one whose time is not known. */
function timeOf({ record, times }, name) {
  return times[name] ?? (name in record ? 1 : 0);
}

/** The rows of two lists; the first alone where the other is none, or where both would be more than there may be. */
export function allRows(mine, other, most) {
  if (!Array.isArray(mine) || !Array.isArray(other)) return mine;
  const rows = [...mine, ...missing(other, mine)];
  return rows.length > most ? mine : rows;
}

/** The rows that are not among others. */
function missing(rows, others) {
  return rows.filter((row) => !others.some((other) => sameEntry([row], [other])));
}

/** A day in words, where the reader is. */
export function dayOf(time) {
  return new Date(time).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
}
