// The bows beside the one on the bench, kept in this browser. The storage is read anew at every look, so that the tabs
// share one shelf; what could not be stored is still there until the page is closed.

import { SafeStorage } from "./safe_storage.js";
import { namesOf } from "./entry.js";
import { isEntries, isTimes } from "./stored_record.js";
import { isObject, parseJson, withoutPrototype } from "./json.js";
import { newId, returned } from "./bow.js";
import { storageKey } from "./site_paths.js";

/** @import { Entries, Times } from "./entry.js" */
/** @import { Bow } from "./bow.js" */

/**
 * Bows by id, null for one that goes.
 * @typedef {Map<string, Bow | null>} Changes
 */

/** @typedef {{ kind: "none" | "good" | "damaged" | "newer", bows: Map<string, Bow> }} StoredShelf */

const SHELF_VERSION = 1;
const MOST = 600;
const LONGEST = 2_000_000;
const ID = /^[0-9a-z]{8,32}$/;

const NEWER = "A newer version of these pages keeps bows in this browser. They are left as they are, and are not shown here.";
const DAMAGED =
  "What this browser kept of your bows is damaged. What could be read of it is shown, and the damaged text itself is put aside, not deleted.";
const STUCK = "What this browser kept of your bows is damaged and could not be put aside. It is left as it is: save your bows to a file.";
const EVICTED = "This browser has removed the bows that it kept. Those you see here are still whole: save them to a file.";
const TOO_MANY = `There can be ${MOST} bows, and no more. Save some to a file and delete them here.`;
const TOO_LARGE = "The bows would be too many for one file. Save some to a file and delete them here.";

export class Shelf {
  // What was changed here and could not be stored: a bow by its id, null for one that went.
  /** @type {Changes} */
  #unsaved = new Map();
  /** @type {Map<string, Bow>} */
  #seen = new Map();
  #asideDone = false;

  /**
   * `say(sentence)`.
   * @param {{ version: number, say: (sentence: string) => void }} parts
   */
  constructor({ version, say }) {
    this.version = version;
    this.say = say;
    this.storage = new SafeStorage(storageKey("bows"), say);
    // Whether the last change was really stored.
    this.isStored = true;
  }

  /**
   * Hear that another tab changed the shelf.
   * @param {() => void} changed
   */
  listen(changed) {
    this.storage.listen(changed);
  }

  /** All bows that are kept, by id; that of the bench among them, as it was when it was last put there. */
  get bows() {
    const read = this.#read();
    const bows = new Map(read.bows);
    for (const [id, bow] of this.#unsaved) {
      if (bow === null) bows.delete(id);
      else bows.set(id, bow);
    }
    return bows;
  }

  /** Whether nothing can be stored at all, so that the shelf lasts as long as the page. */
  get isForbidden() {
    return this.storage.isForbidden;
  }

  /**
   * Change bows: a map of id to bow, or to null for one that goes. A sentence where nothing was changed, else null.
   * @param {Changes} changes
   */
  change(changes) {
    const before = this.bows;
    const { kind, text } = this.#read();
    if (kind === "newer") return NEWER;
    const after = new Map(before);
    for (const [id, bow] of changes) {
      if (bow === null) after.delete(id);
      else after.set(id, bow);
    }
    const written = JSON.stringify({ version: SHELF_VERSION, bows: [...after.values()] });
    if (after.size > MOST && after.size > before.size) return TOO_MANY;
    if (written.length > LONGEST && written.length > (text?.length ?? 0)) return TOO_LARGE;
    if (kind === "damaged" && text !== null && !this.#putAside(text)) return STUCK;
    this.isStored = this.storage.write(written);
    if (this.isStored) {
      this.#unsaved.clear();
      this.#seen = after;
    } else {
      for (const [id, bow] of changes) this.#unsaved.set(id, bow);
    }
    return null;
  }

  /**
   * Put the bow of the bench on the shelf, under its id or a new one: {id, refused}, refused a sentence where it could
   * not be put there, else null.
   * @param {string | null} id
   * @param {Entries} record
   * @param {Times} times
   */
  put(id, record, times) {
    const key = id ?? newId();
    // A bow of which nothing is left on the bench does not take away what lies on the shelf.
    if (namesOf(record).length === 0) return { id: key, refused: null };
    const refused = this.change(new Map([[key, returned(key, record, times, this.bows.get(key))]]));
    return { id: key, refused };
  }

  #read() {
    const text = this.storage.read();
    const read = readShelf(text, this.version);
    if (read.kind === "newer") this.say(NEWER);
    if (read.kind === "damaged" && !this.#asideDone) this.say(DAMAGED);
    if (read.kind === "none" && this.#seen.size > 0) {
      this.say(EVICTED);
      for (const [id, bow] of this.#seen) if (!this.#unsaved.has(id)) this.#unsaved.set(id, bow);
    }
    this.#seen = read.bows;
    return { ...read, text };
  }

  /** @param {string} text */
  #putAside(text) {
    this.#asideDone = this.storage.write(text, storageKey("bows put aside"));
    return this.#asideDone;
  }
}

/**
 * What a stored text is: {kind, bows}, kind none, good, damaged (bows are what could be read) or newer, which is not
 * ours to touch. Whether the entries make sense is the package's business.
 * @param {string | null} text
 * @param {number} version
 * @returns {StoredShelf}
 */
export function readShelf(text, version) {
  /** @type {Map<string, Bow>} */
  const bows = new Map();
  if (text === null) return { kind: "none", bows };
  const data = text.length > 2 * LONGEST ? null : parseJson(text);
  if (!isObject(data)) return { kind: "damaged", bows };
  if (isNewer(data, SHELF_VERSION)) return { kind: "newer", bows };
  if (!Array.isArray(data.bows)) return { kind: "damaged", bows };
  /** @type {unknown[]} */
  const found = data.bows;
  if (found.some((bow) => isObject(bow) && isNewer(bow.record, version))) return { kind: "newer", bows };
  for (const bow of found) if (isBow(bow, version)) bows.set(bow.id, bowOf(bow));
  return { kind: bows.size === found.length ? "good" : "damaged", bows };
}

/**
 * A bow without prototypes.
 * @param {Bow} bow
 * @returns {Bow}
 */
export function bowOf({ id, record, times }) {
  return { id, record: withoutPrototype(record), times: withoutPrototype(times) };
}

/**
 * @param {unknown} bow
 * @param {number} version
 * @returns {bow is Bow}
 */
function isBow(bow, version) {
  if (!isObject(bow)) return false;
  const { id, record, times } = bow;
  if (typeof id !== "string" || !ID.test(id) || !isObject(record) || !isObject(times)) return false;
  return record.version === version && isEntries(record) && isTimes(times);
}

/**
 * @param {unknown} data
 * @param {number} version
 */
function isNewer(data, version) {
  return isObject(data) && typeof data.version === "number" && data.version > version;
}
