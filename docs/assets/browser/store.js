// The reader's own record, kept in this browser and shared with its other tabs. Each field carries the time of its
// last change, and the later one wins; a field that is being edited here is not taken away from under the reader.

import { Box } from "./box.js";
import { readKept, writeKept } from "./kept.js";
import { storageKey } from "./base.js";

const NEWER =
  "A newer version of these pages keeps values in this browser. They are left as they are, and what you enter here is not kept.";
const DAMAGED =
  "What this browser kept is damaged. What could be read of it is shown, and the damaged text itself is put aside, not deleted.";
const STUCK = "What this browser kept is damaged and could not be put aside. It is left as it is, and what you enter here is not kept.";
const EVICTED =
  "This browser has removed what it kept for these pages. The values you see here are still whole, and are kept again at your next entry.";

export class Store {
  /**
   * `say(sentence)`; `taken(names)` hears of fields taken over from another tab; `isEdited(name)` tells which are being
   * edited; `isKept(name)` which are kept at all: fields of the view are not.
   */
  constructor({ version, say, taken, isEdited, isKept }) {
    Object.assign(this, { version, say, taken, isEdited, isKept });
    // Without a prototype: a stored name such as "__proto__" is then a name like any other.
    this.record = { __proto__: null, version };
    this.times = { __proto__: null };
    // Which bow of the shelf it is, and since when; null before it was any.
    this.bow = null;
    this.box = new Box(storageKey("record"), say);
    // Held: nothing is written, because what is stored is not ours to overwrite, or not read yet.
    this.held = false;
    // Whether our text stood in the storage when last seen: if it is missing then, the browser removed it.
    this.hasKey = false;
    // Whether the last change was really stored.
    this.isStored = false;
  }

  /** Take up what is stored. Returns the text that the package must read first, or null. */
  load() {
    const text = this.box.read();
    const kept = readKept(text, this.version);
    this.hasKey = text !== null;
    if (kept.kind === "good") this.#take(kept);
    this.isStored = kept.kind === "good";
    this.held = kept.kind === "newer" || kept.kind === "damaged";
    if (kept.kind === "newer") this.say(NEWER);
    this.damaged = kept.kind === "damaged";
    this.box.listen((newText) => this.#heard(newText));
    return kept.claims ?? null;
  }

  /** What the package read of a damaged or newer text; the reader's entries since then stay. */
  settle(record) {
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

  /** Change fields: a map of name to entry, or to null for an emptied one. With `bowId` it is that bow from now on. */
  change(entries, bowId = this.bowId) {
    if (bowId !== this.bowId) this.bow = { id: bowId, time: Math.max(Date.now(), (this.bow?.time ?? 0) + 1) };
    for (const [name, entry] of entries) {
      if (entry === null) delete this.record[name];
      else this.record[name] = entry;
      // Two changes within one tick of the clock must still be in order.
      this.times[name] = Math.max(Date.now(), (this.times[name] ?? 0) + 1);
    }
    this.#save();
  }

  /** Take over what other tabs stored meanwhile, after a field was left for instance. */
  catchUp() {
    if (!this.held) this.#heard(this.box.read(), { quiet: true });
  }

  #save() {
    this.isStored = false;
    if (this.held) return;
    const text = this.box.read();
    const kept = readKept(text, this.version);
    if (kept.kind === "newer") {
      this.held = true;
      this.say(NEWER);
      return;
    }
    if (kept.kind === "none" && this.hasKey) this.say(EVICTED);
    if (kept.kind === "damaged" && !this.#putAside(text)) return;
    // Another tab may have stored something that this one has not heard of yet.
    if (kept.kind === "good") this.#takeAndTell(kept);
    const keptFields = ([name]) => name === "version" || this.isKept(name);
    const entries = Object.fromEntries(Object.entries(this.record).filter(keptFields));
    const times = Object.fromEntries(Object.entries(this.times).filter(keptFields));
    this.isStored = this.box.write(writeKept(entries, times, this.bow));
    if (this.isStored) this.hasKey = true;
  }

  #heard(text, { quiet = false } = {}) {
    const kept = readKept(text, this.version);
    if (kept.kind === "good") this.#takeAndTell(kept);
    if (kept.kind === "none" && this.hasKey && !quiet) {
      this.hasKey = false;
      this.say(EVICTED);
    }
  }

  /** Take the fields that changed later there than here; their names. */
  #take({ record, times, bow }) {
    const names = new Set();
    if (bow !== null && bow.time > (this.bow?.time ?? 0)) this.bow = bow;
    for (const [name, time] of Object.entries(times)) {
      if (time <= (this.times[name] ?? 0) || this.isEdited(name)) continue;
      this.times[name] = time;
      if (Object.hasOwn(record, name)) this.record[name] = record[name];
      else delete this.record[name];
      names.add(name);
    }
    return names;
  }

  #takeAndTell(kept) {
    const { bow } = this;
    const names = this.#take(kept);
    if (names.size > 0 || bow !== this.bow) this.taken(names);
  }

  /** Keep a damaged text under another key before ours is written again; whether that worked. */
  #putAside(text) {
    this.held = !this.box.write(text, storageKey("put aside"));
    this.say(this.held ? STUCK : DAMAGED);
    return !this.held;
  }
}
