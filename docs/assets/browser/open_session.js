// A session with all that it works with: the record in the storage, the shelf beside it, and edits that were begun for
// another bow. It needs no page: what the page's forms show and hold is asked for.

import { Session } from "./session.js";
import { Shelf } from "./shelf.js";
import { StaleEdits } from "./stale_edits.js";
import { Store } from "./store.js";

/** @import { Entry } from "./entry.js" */
/** @import { ScopeOf } from "./session.js" */

/**
 * `say(sentence)`; `edited()` gives the fields that the reader is in, with what they show; `most(name)` is how many rows a
 * list of the bow may have.
 * @typedef {object} Surroundings
 * @property {number} version
 * @property {(sentence: string) => void} say
 * @property {ScopeOf} scopeOf
 * @property {() => Map<string, Entry | null>} edited
 * @property {(name: string) => number} most
 */

/** @param {Surroundings} surroundings */
export function openSession({ version, say, scopeOf, edited, most }) {
  /** @param {string} name */
  const isOfBow = (name) => ["bow", "home"].includes(scopeOf(name)) && name !== "version";
  /**
   * @template T
   * @param {{ [name: string]: T }} entries
   */
  const ofBow = (entries) => Object.fromEntries(Object.entries(entries).filter(([name]) => isOfBow(name)));
  const store = new Store({
    version,
    say,
    taken: (names) => session.taken(names),
    departed: (before) => session.departed(before),
    isKept: (name) => scopeOf(name) !== "view",
    isOfBow,
  });
  const shelf = new Shelf({ version, say });
  const leave = () => {
    const { refused } = shelf.put(store.bowId, { version, ...ofBow(store.record) }, ofBow(store.times));
    if (refused !== null) say(refused);
  };
  const session = new Session({ store, scopeOf, shelf, stale: new StaleEdits({ shelf, say }), edited, most, leave });
  return { store, shelf, session };
}
