// An edit belongs to the bow that lay on the bench when it was begun. Where another tab puts another bow there while the
// reader is in a box, all of the page is the new bow's at once, and only the text in that box is not: it is stale. Until
// the box is left it stays on the screen and goes to the bow it was begun for, which is on the shelf now; then the box
// shows the new bow's value. So nothing typed is lost, no bow gets a value of another, and no text changes under the
// reader's fingers. Where that bow is not on the shelf, because it was deleted for instance, the text has no place to go
// and the page says so. But where the new bow is empty, or has just what the box shows, it is an entry like any other.

import { called, withEntry } from "./bow.js";
import { namesOf, sameEntry } from "./entry.js";
import { mergeRows } from "./merge_rows.js";

/** @import { Bow } from "./bow.js" */
/** @import { Entries, Entry, Times } from "./entry.js" */
/** @import { RecordState } from "./stored_record.js" */
/** @import { Shelf } from "./shelf.js" */

const OTHER = "Another tab opened another bow.";
const NOWHERE = `${OTHER} The bow that you were typing for is not saved: what you type in this box is not kept. Leave the box to go on.`;
/** @param {Bow} bow */
const toShelf = (bow) =>
  `${OTHER} What you type in this box goes to ${called(bow)}, which is saved. Leave the box to go on with the open bow.`;

export class StaleEdits {
  // The id of its bow by the name of a field, or null where that has none on the shelf.
  /** @type {Map<string, string | null>} */
  #bows = new Map();

  /** @param {{ shelf: Shelf, say: (sentence: string) => void }} parts */
  constructor({ shelf, say }) {
    this.shelf = shelf;
    this.say = say;
  }

  /**
   * Another tab put another bow on the bench. `departed` is what was here, {bow, record, times}, `bench` the {id, record}
   * that came; `entered` are the fields that were changed here, and `edited` those that are being edited, with what they
   * show.
   * @param {RecordState} departed
   * @param {{ id: string | null, record: Entries }} bench
   * @param {{ entered: Set<string>, edited: Map<string, Entry | null | undefined> }} fields
   */
  begin({ bow, record, times }, bench, { entered, edited }) {
    const shelved = this.#shelved(bow?.id ?? null);
    if (shelved) this.#bring(shelved, { record, times }, entered);
    for (const name of edited.keys()) if (!this.#bows.has(name)) this.#bows.set(name, shelved?.id ?? null);
    for (const [name, id] of this.#bows) {
      const isOfBench = id !== null && id === bench.id;
      const isLike = namesOf(bench.record).length === 0 || sameEntry(edited.get(name), bench.record[name]);
      if (isOfBench || (isLike && !this.#shelved(id))) this.#bows.delete(name);
      else this.#tell(name);
    }
  }

  /** @param {string} name */
  has(name) {
    return this.#bows.has(name);
  }

  /**
   * The reader goes on in a stale edit; `base` is what stood in the field before.
   * @param {string} name
   * @param {Entry | null} entry
   * @param {Entry | null} [base]
   */
  change(name, entry, base) {
    const bow = this.#shelved(this.#bows.get(name) ?? null);
    if (!bow) {
      this.say(NOWHERE);
      return;
    }
    const before = bow.record[name];
    const now = Array.isArray(entry ?? before) ? mergeRows(entry, before, base) : entry;
    if (!sameEntry(before, now)) this.#put(withEntry(bow, name, now, Date.now()));
  }

  /**
   * The field was left.
   * @param {string} name
   */
  end(name) {
    this.#bows.delete(name);
  }

  clear() {
    this.#bows.clear();
  }

  /** @param {string} name */
  #tell(name) {
    const bow = this.#shelved(this.#bows.get(name) ?? null);
    this.say(bow ? toShelf(bow) : NOWHERE);
  }

  /** @param {string | null} id */
  #shelved(id) {
    return id === null ? null : (this.shelf.bows.get(id) ?? null);
  }

  /**
   * What was entered here and the other tab had not heard of when it put the bow on the shelf.
   * @param {Bow} shelved
   * @param {{ record: Entries, times: Times }} departed
   * @param {Set<string>} entered
   */
  #bring(shelved, { record, times }, entered) {
    /** @param {string} name */
    const isLater = (name) => (times[name] ?? 0) > (shelved.times[name] ?? 0);
    const lost = [...entered].filter((name) => isLater(name) && !sameEntry(record[name], shelved.record[name]));
    if (lost.length === 0) return;
    this.#put(lost.reduce((bow, name) => withEntry(bow, name, record[name] ?? null, times[name]), shelved));
  }

  /** @param {Bow} bow */
  #put(bow) {
    const refused = this.shelf.change(new Map([[bow.id, bow]]));
    if (refused !== null) this.say(refused);
  }
}
