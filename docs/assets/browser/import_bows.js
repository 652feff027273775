// What a file's bows become on the shelf: new ones, known ones, and states of one's own that are made one or kept apart.

import { freeName, merged, nameOf, newId, renamed, sameRecord } from "./bow.js";
import { namesOf } from "./entry.js";

/**
 * Take bows in beside those of the shelf (a map by id), without touching it: {changes, news}. `changes` is a map of id
 * to bow; `news` tells of each bow {kind, name, came, stayed}: kind new, same (it is there already), merged, older
 * (nothing of it is newer) or apart (kept beside one's own). With `apart` nothing is merged. `most` is the longest name.
 */
export function importBows(shelf, bows, { apart, lists, most, now = Date.now() }) {
  const after = new Map(shelf);
  const changes = new Map();
  const put = (bow) => {
    after.set(bow.id, bow);
    changes.set(bow.id, bow);
  };
  const names = () => [...after.values()].map(({ record }) => nameOf(record));
  const add = (theirs, id) => {
    const bow = marked(theirs, theirs, now);
    const name = nameOf(bow.record);
    const free = name === "" ? "" : freeName(name, names(), most);
    put(free === name ? { ...bow, id } : { ...renamed(bow, free), id });
    return free;
  };
  const news = bows.map((theirs) => {
    const name = nameOf(theirs.record);
    const mine = after.get(theirs.id);
    const others = mine ? [mine] : [...after.values()];
    const alike = [theirs.record, marked(theirs, theirs, now).record];
    if (others.some(({ record }) => alike.some((one) => sameRecord(record, one)))) return { kind: "same", name };
    if (!mine) return { kind: "new", name: add(theirs, theirs.id || newId()) };
    const { bow, came, stayed } = merged(mine, theirs, lists);
    if (apart || bow === null) return { kind: "apart", name: add(theirs, newId()), came, stayed };
    put(came.some((name) => theirs.markedBy?.includes(name)) ? marked(bow, theirs, now) : bow);
    return { kind: came.length > 0 ? "merged" : "older", name: nameOf(mine.record), came, stayed };
  });
  return { changes, news };
}

/** A bow with the entries that tell of its coming from elsewhere, made now. */
function marked({ id, record, times }, { marks = {} }, now) {
  const since = Object.fromEntries(namesOf(marks).map((name) => [name, now]));
  return { id, record: { __proto__: null, ...record, ...marks }, times: { __proto__: null, ...times, ...since } };
}
