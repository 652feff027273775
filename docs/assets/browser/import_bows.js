// What a file's bows become on the shelf: new ones, known ones, and states of one's own that are made one or kept apart.

import { freeName, merged, nameOf, newId, renamed, sameRecord } from "./bow.js";
import { namesOf, sameEntry, typedOf } from "./entry.js";
import { withoutPrototype } from "./json.js";

/** @import { Bow, RowLimits } from "./bow.js" */
/** @import { Entries } from "./entry.js" */

/**
 * A bow of a file: `marks` are the entries that tell of its coming from elsewhere, and `markedBy` names the fields by which
 * it gets them where it is merged.
 * @typedef {Bow & { marks?: Entries, markedBy?: string[] }} ImportedBow
 */

/**
 * What becomes of one bow of a file; `came` and `stayed` are the fields of a merge, `why` is why there can be none: a
 * list would be too long, or the bolts are of another kind.
 * @typedef {"new" | "same" | "merged" | "older" | "apart"} Outcome
 * @typedef {{ kind: Outcome, name: string, came?: string[], stayed?: string[], why?: "kind" | "list" }} News
 */

// Which kind of limb bolt a bow has.
const KIND = "bolt_family";

/**
 * Take bows in beside those of the shelf (a map by id), without touching it: {changes, news}. `changes` is a map of id
 * to bow; `news` tells of each bow {kind, name, came, stayed}: kind new, same (it is there already), merged, older
 * (nothing of it is newer) or apart (kept beside one's own). With `apart` nothing is merged. `most` is the longest name.
 * @param {Map<string, Bow>} shelf
 * @param {ImportedBow[]} bows
 * @param {{ apart: boolean, lists: RowLimits, most: number, now?: number }} how
 * @returns {{ changes: Map<string, Bow>, news: News[] }}
 */
export function importBows(shelf, bows, { apart, lists, most, now = Date.now() }) {
  const after = new Map(shelf);
  /** @type {Map<string, Bow>} */
  const changes = new Map();
  /** @param {Bow} bow */
  const put = (bow) => {
    after.set(bow.id, bow);
    changes.set(bow.id, bow);
  };
  const names = () => [...after.values()].map(({ record }) => nameOf(record));
  /**
   * Put one beside the others, under a name that is free; that name.
   * @param {ImportedBow} theirs
   * @param {string} id
   */
  const add = (theirs, id) => {
    const bow = marked(theirs, theirs, now);
    const name = nameOf(bow.record);
    const free = name === "" ? "" : freeName(name, names(), most);
    put(free === name ? { ...bow, id } : { ...renamed(bow, free), id });
    return free;
  };
  /**
   * @param {ImportedBow} theirs
   * @returns {News}
   */
  const take = (theirs) => {
    const name = nameOf(theirs.record);
    const mine = after.get(theirs.id);
    const others = mine ? [mine] : [...after.values()];
    const alike = [theirs.record, marked(theirs, theirs, now).record];
    if (others.some(({ record }) => alike.some((one) => sameRecord(record, one)))) return { kind: "same", name };
    if (!mine) return { kind: "new", name: add(theirs, theirs.id || newId()) };
    const { bow, came, stayed } = merged(mine, theirs, lists);
    const why = ofAnotherKind(mine.record, theirs.record) ? "kind" : bow === null ? "list" : undefined;
    if (apart || bow === null || why) return { kind: "apart", name: add(theirs, newId()), came, stayed, why };
    put(came.some((field) => theirs.markedBy?.includes(field)) ? marked(bow, theirs, now) : bow);
    return { kind: came.length > 0 ? "merged" : "older", name: nameOf(mine.record), came, stayed };
  };
  const news = bows.map(take);
  return { changes, news };
}

/**
 * Whether two states of one bow have bolts of different kinds, so that what was read of the one is not of the other.
 * @param {Entries} mine
 * @param {Entries} theirs
 */
function ofAnotherKind({ [KIND]: mine }, { [KIND]: theirs }) {
  const known = [mine, theirs].every((one) => !["", "unknown"].includes(typedOf(one)));
  return known && !sameEntry(mine, theirs);
}

/**
 * A bow with the entries that tell of its coming from elsewhere, made now.
 * @param {Bow} bow
 * @param {ImportedBow} imported
 * @param {number} now
 * @returns {Bow}
 */
function marked({ id, record, times }, { marks = {} }, now) {
  const since = Object.fromEntries(namesOf(marks).map((name) => [name, now]));
  return { id, record: withoutPrototype(record, marks), times: withoutPrototype(times, since) };
}
