// A bow as it lies on the shelf: {id, record, times}. Pure functions: two states of a bow made one, names, dates.
// A time without an entry says when a field was emptied.

import { namesOf, sameEntry, typedOf } from "./entry.js";
import { withoutPrototype } from "./json.js";

/** @import { Entries, Entry, Times } from "./entry.js" */

/** @typedef {{ id: string, record: Entries, times: Times }} Bow */

/**
 * The most rows that a list may have, by the name of its field.
 * @typedef {{ [name: string]: number }} RowLimits
 */

// The one field that these modules know by its meaning.
const NAME = "bow_name";

/** An id that nothing else has: the file that leaves this browser is known again by it. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(8));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {Entries} record */
export function nameOf(record) {
  return typedOf(record[NAME]).trim();
}

/**
 * A bow's name between quotation marks.
 * @param {{ record: Entries }} bow
 */
export function called({ record }) {
  return `“${nameOf(record) || "unnamed"}”`;
}

/**
 * The bow with another entry of one field, null for none: as from now on, or as if it had always been so.
 * @param {Bow} bow
 * @param {string} name
 * @param {Entry | null} entry
 * @param {number | null} time
 * @returns {Bow}
 */
export function withEntry(bow, name, entry, time = null) {
  const record = withoutPrototype(bow.record);
  if (entry === null) delete record[name];
  else record[name] = entry;
  const times = withoutPrototype(bow.times);
  if (time !== null) times[name] = Math.max(time, (times[name] ?? 0) + 1);
  return { ...bow, record, times };
}

/**
 * The bow under another name, in the same way.
 * @param {Bow} bow
 * @param {string} name
 * @param {number | null} time
 */
export function renamed(bow, name, time = null) {
  return withEntry(bow, NAME, name === "" ? null : { typed: name }, time);
}

/**
 * A name that none of these has, with a number behind it where need be, and no longer than `most`.
 * @param {string} name
 * @param {string[]} names
 * @param {number} most
 */
export function freeName(name, names, most) {
  const taken = new Set(names);
  for (let number = 1; ; number += 1) {
    const end = number === 1 ? "" : ` ${number}`;
    const text = [...name].slice(0, most - end.length).join("").trimEnd() + end;
    if (!taken.has(text)) return text;
  }
}

/**
 * When anything of it was last entered or emptied, in milliseconds; 0 where that is not known.
 * @param {{ times: Times }} bow
 */
export function changedAt({ times }) {
  return Math.max(0, ...Object.values(times));
}

/**
 * Whether two bows say the same, field by field.
 * @param {Entries} one
 * @param {Entries} other
 */
export function sameRecord(one, other) {
  return [...new Set([...namesOf(one), ...namesOf(other)])].every((name) => sameEntry(one[name], other[name]));
}

/**
 * The bow that comes back from the bench. What is as it was when it went there keeps its time: on the bench all that was
 * exchanged got a new one, so that the other tabs followed.
 * @param {string} id
 * @param {Entries} record
 * @param {Times} times
 * @param {Bow | null} [before]
 * @returns {Bow}
 */
export function returned(id, record, times, before) {
  /** @type {Bow} */
  const bow = { id, record: withoutPrototype({ version: record.version }), times: withoutPrototype() };
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
 * @param {Bow} ours
 * @param {Bow} theirs
 * @param {RowLimits} lists
 * @returns {{ bow: Bow | null, came: string[], stayed: string[] }}
 */
export function merged(ours, theirs, lists) {
  /** @type {Bow} */
  const bow = { id: ours.id, record: withoutPrototype(ours.record), times: withoutPrototype(ours.times) };
  /** @type {string[]} */
  const came = [];
  /** @type {string[]} */
  const stayed = [];
  for (const name of new Set([...namesOf(theirs.record), ...Object.keys(theirs.times)])) {
    const [mine, other] = [ours.record[name], theirs.record[name]];
    const [since, later] = [timeOf(ours, name), timeOf(theirs, name)];
    if (name in ours.times || name in theirs.times) bow.times[name] = Math.max(since, later);
    if (sameEntry(mine, other)) continue;
    const news = Array.isArray(mine) && Array.isArray(other) && Object.hasOwn(lists, name) ? missing(other, mine) : null;
    const entry = news && Array.isArray(mine) ? [...mine, ...news] : other;
    if (news && Array.isArray(entry) && entry.length > lists[name]) return { bow: null, came, stayed };
    if (news ? news.length === 0 : later <= since) {
      stayed.push(name);
      continue;
    }
    if (entry === undefined) delete bow.record[name];
    else bow.record[name] = entry;
    came.push(name);
  }
  return { bow, came, stayed };
}

/**
 * A field that never had an entry is older than one whose time is not known.
 * @param {Bow} bow
 * @param {string} name
 */
function timeOf({ record, times }, name) {
  return times[name] ?? (name in record ? 1 : 0);
}

/**
 * The rows of two lists; the first alone where the other is none, or where both would be more than there may be.
 * @param {Entry} mine
 * @param {Entry} other
 * @param {number} most
 * @returns {Entry}
 */
export function allRows(mine, other, most) {
  if (!Array.isArray(mine) || !Array.isArray(other)) return mine;
  const rows = [...mine, ...missing(other, mine)];
  return rows.length > most ? mine : rows;
}

/**
 * The rows that are not among others.
 * @param {unknown[]} rows
 * @param {unknown[]} others
 */
function missing(rows, others) {
  return rows.filter((row) => !others.some((other) => sameEntry([row], [other])));
}

/**
 * A day in words, where the reader is.
 * @param {number} time in milliseconds
 */
export function dayOf(time) {
  return new Date(time).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
}
