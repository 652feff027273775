// The reader's own record, kept in this browser and shared with its other tabs. Each field carries the time of its last
// change, and the later one wins; what is kept here is always the newest, whatever a box that is being edited shows.
// When another bow came to the bench, all that is of a bow is that bow's: nothing of the one before is mixed into it.

import { compareBows, isSameBow, readStored, since, writeStored } from "./stored_record.js";
import { SafeStorage } from "./safe_storage.js";
import { compareEntries, namesOf, sameEntry } from "./entry.js";
import { storageKey } from "./site_paths.js";
import { withoutPrototype } from "./json.js";

/** @import { Entries, Entry, Times } from "./entry.js" */
/** @import { BenchBow, RecordState } from "./stored_record.js" */

/**
 * Changed fields: the entry of each, null for an emptied one.
 * @typedef {Iterable<[string, Entry | null]>} FieldChanges
 */

/**
 * How a store tells what happens, and what it asks about fields.
 * @typedef {object} StoreParts
 * @property {number} version
 * @property {(sentence: string) => void} say
 * @property {(names: Set<string>) => void} taken
 * @property {(before: RecordState) => void} [departed]
 * @property {(name: string) => boolean} isKept
 * @property {(name: string) => boolean} isOfBow
 */

const NEWER =
  "A newer version of these pages keeps values in this browser. They are left as they are, and what you enter here is not kept.";
const DAMAGED =
  "What this browser kept is damaged. What could be read of it is shown, and the damaged text itself is put aside, not deleted.";
const STUCK = "What this browser kept is damaged and could not be put aside. It is left as it is, and what you enter here is not kept.";
const EVICTED =
  "This browser has removed what it kept for these pages. The values you see here are still whole, and are kept again at your next entry.";

export class Store {
  /**
   * The last text that was read or written: all of it is known here.
   * @type {string | null | undefined}
   */
  #seen;

  /**
   * `say(sentence)`; `taken(names)` hears of fields taken over from another tab; before that, `departed({bow, record,
   * times})` hears what was here when another tab put another bow on the bench; `isKept(name)` tells which fields are
   * kept at all (those of the view are not), and `isOfBow(name)` which are of the bow, and none of the reader's habits.
   * @param {StoreParts} parts
   */
  constructor({ version, say, taken, departed = () => {}, isKept, isOfBow }) {
    this.version = version;
    this.say = say;
    this.taken = taken;
    this.departed = departed;
    this.isKept = isKept;
    this.isOfBow = isOfBow;
    /** @type {Entries} */
    this.record = withoutPrototype({ version });
    /** @type {Times} */
    this.times = withoutPrototype();
    /**
     * Which bow of the shelf it is, and since when it lies on the bench; null before it was any.
     * @type {BenchBow | null}
     */
    this.bow = null;
    this.storage = new SafeStorage(storageKey("record"), say);
    // Held: nothing is written, because what is stored is not ours to overwrite, or not read yet.
    this.held = false;
    // Whether our text stood in the storage when last seen: if it is missing then, the browser removed it.
    this.hasKey = false;
    // Whether the last change was really stored.
    this.isStored = false;
    // Whether what is stored is damaged, and what could be read of it is not known yet.
    this.damaged = false;
  }

  /** Take up what is stored. Returns the text that the package must read first, or null. */
  load() {
    const text = this.storage.read();
    const kept = readStored(text, this.version);
    this.hasKey = text !== null;
    if (kept.kind === "good") {
      this.isStored = true;
      this.#seen = text;
      this.#take(kept);
    }
    this.held = kept.kind === "newer" || kept.kind === "damaged";
    if (kept.kind === "newer") this.say(NEWER);
    this.damaged = kept.kind === "damaged";
    this.storage.listen((newText) => this.#heard(newText));
    return kept.kind === "newer" || kept.kind === "damaged" ? kept.recoverable : null;
  }

  /**
   * What the package read of a damaged or newer text; the reader's entries since then stay.
   * @param {Entries} record
   * @returns {Set<string>} the names of the fields that got an entry
   */
  settle(record) {
    /** @type {Set<string>} */
    const names = new Set();
    for (const [name, entry] of Object.entries(record)) {
      if (name === "version" || name in this.times) continue;
      this.record[name] = entry;
      names.add(name);
    }
    if (this.damaged) {
      this.damaged = this.held = false;
      this.#save();
    }
    return names;
  }

  /** The id of the bow of the shelf that this is, or null. */
  get bowId() {
    return this.bow?.id ?? null;
  }

  /**
   * Change fields. Of the view alone, nothing is written.
   * @param {[string, Entry | null][]} entries
   */
  change(entries) {
    this.#set(entries);
    if (entries.some(([name]) => this.isKept(name))) this.#save();
  }

  /**
   * Change fields so that the record is another bow's: that of an id on the shelf, or with null one that has none yet.
   * @param {FieldChanges} entries
   * @param {string | null} bowId
   */
  exchange(entries, bowId) {
    this.bow = { id: bowId, time: Math.max(Date.now(), since(this.bow) + 1) };
    this.#set(entries);
    this.#save();
  }

  /**
   * The bow of the bench got an id, because it was put on the shelf: it is the same as before.
   * @param {string} bowId
   */
  identify(bowId) {
    this.bow = { id: bowId, time: since(this.bow) };
    this.#save();
  }

  /** Take over what other tabs stored meanwhile, before a change for instance. */
  catchUp() {
    if (this.held) return;
    const text = this.storage.read();
    if (text !== this.#seen) this.#heard(text, { quiet: true });
  }

  /** @param {FieldChanges} entries */
  #set(entries) {
    for (const [name, entry] of entries) {
      if (entry === null) delete this.record[name];
      else this.record[name] = entry;
      // Two changes within one tick of the clock must still be in order.
      this.times[name] = Math.max(Date.now(), (this.times[name] ?? 0) + 1);
    }
  }

  #save() {
    this.isStored = false;
    if (this.held) return;
    const text = this.storage.read();
    if (text !== this.#seen && !this.#mayReplace(text)) return;
    /** @param {[string, unknown]} field */
    const isStoredField = ([name]) => name === "version" || this.isKept(name);
    const entries = Object.fromEntries(Object.entries(this.record).filter(isStoredField));
    const times = Object.fromEntries(Object.entries(this.times).filter(isStoredField));
    const written = writeStored(entries, times, this.bow);
    this.isStored = written === text || this.storage.write(written);
    if (!this.isStored) return;
    this.hasKey = true;
    this.#seen = written;
  }

  /**
   * Take from a stored text what is newer, before ours takes its place; false where it is not ours to replace.
   * @param {string | null} text
   */
  #mayReplace(text) {
    const kept = readStored(text, this.version);
    if (kept.kind === "newer") {
      this.held = true;
      this.say(NEWER);
    }
    if (kept.kind === "none" && this.hasKey) this.say(EVICTED);
    if (kept.kind === "damaged" && text !== null) this.#putAside(text);
    if (kept.kind === "good") this.#takeAndTell(kept, text);
    return !this.held;
  }

  /** @param {string | null} text */
  #heard(text, { quiet = false } = {}) {
    const kept = readStored(text, this.version);
    if (kept.kind === "good") {
      const isBehind = this.#isBehind(kept);
      this.#takeAndTell(kept, text);
      // Another tab wrote at the same time, and had not heard of our last change.
      if (isBehind) this.#save();
    }
    if (kept.kind === "none" && this.hasKey && !quiet) {
      this.hasKey = false;
      this.say(EVICTED);
    }
  }

  /**
   * Whether something of a stored text is older than it is here.
   * @param {RecordState} kept
   */
  #isBehind(kept) {
    const isOther = !isSameBow(kept.bow, this.bow);
    /** @param {string} name */
    const isOlder = (name) => this.isKept(name) && !(isOther && this.isOfBow(name)) && this.#compare(name, kept) > 0;
    return compareBows(kept.bow, this.bow) < 0 || Object.keys(this.times).some(isOlder);
  }

  /**
   * Which entry of a field is the later one: ours above 0, the stored one below. Equally old ones have an order too.
   * @param {string} name
   * @param {RecordState} kept
   */
  #compare(name, { record, times }) {
    return (this.times[name] ?? 0) - (times[name] ?? 0) || compareEntries(this.record[name], record[name]);
  }

  /**
   * Take what is later there than here; the names of the fields that changed by it.
   * @param {RecordState} kept
   */
  #take(kept) {
    const order = compareBows(kept.bow, this.bow);
    const isOther = !isSameBow(kept.bow, this.bow);
    const ours = isOther ? [...Object.keys(this.times), ...namesOf(this.record)] : [];
    if (order > 0) this.bow = kept.bow;
    /** @param {string} name */
    const isLater = (name) => (isOther && this.isOfBow(name) ? order > 0 : this.#compare(name, kept) < 0);
    const names = new Set([...Object.keys(kept.times), ...ours]);
    return new Set([...names].filter((name) => isLater(name) && this.#adopt(name, kept)));
  }

  /**
   * Make a field what it is in a stored text; whether that changed its entry.
   * @param {string} name
   * @param {RecordState} kept
   */
  #adopt(name, { record, times }) {
    const before = this.record[name];
    if (name in times) this.times[name] = times[name];
    else delete this.times[name];
    if (Object.hasOwn(record, name)) this.record[name] = record[name];
    else delete this.record[name];
    return !sameEntry(before, this.record[name]);
  }

  /**
   * @param {RecordState} kept
   * @param {string | null} text
   */
  #takeAndTell(kept, text) {
    const { bow } = this;
    this.#seen = text;
    const isOther = compareBows(kept.bow, bow) > 0 && !isSameBow(kept.bow, bow);
    const before = isOther ? { bow, record: { ...this.record }, times: { ...this.times } } : null;
    const names = this.#take(kept);
    if (before) this.departed(before);
    if (names.size > 0 || bow !== this.bow) this.taken(names);
  }

  /**
   * Keep a damaged text under another key before ours is written again.
   * @param {string} text
   */
  #putAside(text) {
    this.held = !this.storage.write(text, storageKey("put aside"));
    this.say(this.held ? STUCK : DAMAGED);
  }
}
