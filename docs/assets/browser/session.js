// The record that the page shows: the reader's own, or for a while the values of a link. Every form, answer and
// button of the page goes through here, so that a value entered in one place is known in all.

import { allRows, nameOf } from "./bow.js";
import { namesOf, sameEntry } from "./entry.js";
import { isSameBow } from "./stored_record.js";
import { mergeRows } from "./merge_rows.js";

/** @import { Entries, Entry, Times } from "./entry.js" */
/** @import { BenchBow, RecordState } from "./stored_record.js" */
/** @import { Shelf } from "./shelf.js" */
/** @import { StaleEdits } from "./stale_edits.js" */
/** @import { Store } from "./store.js" */

/**
 * Of what a field is: bow, home (a list of the bow, of which a link carries only how things stand), reader or view.
 * @typedef {(name: string) => string} ScopeOf
 */

/**
 * What a session works with.
 * @typedef {object} SessionParts
 * @property {Store} store
 * @property {ScopeOf} scopeOf
 * @property {(name: string) => number} [most]
 * @property {() => void} [leave]
 * @property {Shelf | null} [shelf]
 * @property {StaleEdits | null} [stale]
 * @property {() => Map<string, Entry | null>} [edited]
 */

/** @typedef {(names: Set<string>, source: unknown) => void} Listener */

/** Who changed a field, where it was another tab: what is being edited here stays on the screen until it is left. */
export const ELSEWHERE = Symbol("another tab");

export class Session {
  // The fields of the bow that were changed in this tab since it came to the bench, and the one that is just changing.
  /** @type {Set<string>} */
  #entered = new Set();
  /** @type {string | null} */
  #changing = null;
  #isAway = false;

  /**
   * `most(name)` is how many rows a list of the bow may have. Listeners get the names that changed and who changed them.
   * `leave()` puts the bow of the record on the shelf, before the record becomes another bow's; `shelf` is that, `stale`
   * has the edits that were begun for a bow that left the bench, and `edited()` gives the fields that the reader is in, a map
   * of name to the entry on the screen.
   * @param {SessionParts} parts
   */
  constructor({ store, scopeOf, most = () => Infinity, leave = () => {}, shelf = null, stale = null, edited = () => new Map() }) {
    this.store = store;
    this.scopeOf = scopeOf;
    this.most = most;
    this.leave = leave;
    this.shelf = shelf;
    this.stale = stale;
    this.edited = edited;
    /**
     * The values of a link while they are looked at.
     * @type {Entries | null}
     */
    this.linked = null;
    /** Told when they have become the reader's own by being changed. */
    this.adopted = () => {};
    /**
     * What "Undo" brings back.
     * @type {RecordState | null}
     */
    this.remembered = null;
    /** @type {Set<Listener>} */
    this.listeners = new Set();
  }

  /** @param {Listener} listener */
  listen(listener) {
    this.listeners.add(listener);
  }

  get own() {
    return this.store.record;
  }

  get shown() {
    return this.linked ?? this.own;
  }

  get isEmpty() {
    return namesOf(this.shown).length === 0;
  }

  /** Whether the reader has entered anything of a bow: that is what a link could overwrite. */
  get hasOwn() {
    return this.#bowNames(this.own).length > 0;
  }

  /** The shown record as it may leave this browser: fields of the bow only. The package says what it leaves out. */
  get forLink() {
    return this.#ofBow(this.shown);
  }

  /** One's own record in the same way, whatever is being looked at. */
  get ownForLink() {
    return this.#ofBow(this.own);
  }

  /**
   * The reader changed one field. While a link's values are looked at, their own stay as they are. With `remember`,
   * for what goes by one press, it can be undone; returns whether that is so. `base` is what stood in the field before:
   * where another tab has changed the same list meanwhile, its rows stay too.
   * @param {string} name
   * @param {Entry | null} entry
   * @param {unknown} source
   * @param {{ remember?: boolean, base?: Entry | null }} how
   */
  change(name, entry, source, { remember = false, base } = {}) {
    this.#catchUp(name);
    if (!this.linked && this.stale?.has(name)) return this.#changeStale(name, entry, base);
    this.#adopt(name, entry);
    const now = Array.isArray(entry ?? base) ? mergeRows(entry, this.shown[name], base) : entry;
    if (sameEntry(this.shown[name], now)) return false;
    const undoes = remember && !this.linked;
    if (undoes) this.#remembering(() => this.#enter(name, now));
    else this.#enter(name, now);
    this.tell(new Set([name]), source);
    return undoes;
  }

  /**
   * Several entries by one press, null for those that are emptied; returns whether it can be undone.
   * @param {{ [name: string]: Entry | null }} entries
   */
  changeAll(entries) {
    if (this.linked) {
      for (const [name, entry] of Object.entries(entries)) this.change(name, entry, null);
      return false;
    }
    this.store.catchUp();
    const record = { ...this.own };
    for (const [name, entry] of Object.entries(entries)) {
      if (entry === null) delete record[name];
      else record[name] = entry;
    }
    this.replace(record, this.store.bowId);
    return true;
  }

  /**
   * @param {string} name
   * @param {Entry | null} entry
   */
  #enter(name, entry) {
    // The reader's habits are theirs, whatever is looked at.
    if (!this.linked || this.scopeOf(name) === "reader") this.store.change([[name, entry]]);
    if (!this.linked) {
      if (this.#isOfBow(name)) this.#entered.add(name);
    } else if (entry === null) delete this.linked[name];
    else this.linked[name] = entry;
  }

  /**
   * A reader who has no bow of their own changes something of a link's: before that the link's values become theirs.
   * @param {string} name
   * @param {Entry | null} entry
   */
  #adopt(name, entry) {
    if (this.linked === null || this.hasOwn || !this.#isOfBow(name) || sameEntry(this.linked[name], entry)) return;
    const before = this.linked;
    this.store.catchUp();
    const record = this.#joined(before);
    this.linked = null;
    this.#become(record, null, false, before);
    this.adopted();
  }

  /**
   * Before a change: what other tabs stored, and this one has not heard of. What is of the view is in no storage.
   * @param {string} name
   */
  #catchUp(name) {
    if (this.linked || this.scopeOf(name) === "view") return;
    this.#changing = name;
    this.store.catchUp();
    this.#changing = null;
  }

  /**
   * @param {string} name
   * @param {Entry | null} entry
   * @param {Entry | null} [base]
   */
  #changeStale(name, entry, base) {
    this.stale?.change(name, entry, base);
    // Changed without being in it, by a slider under a finger.
    if (!this.edited().has(name)) this.#endStale(name);
    return false;
  }

  /**
   * The field shows what the new bow has.
   * @param {string} name
   */
  #endStale(name) {
    this.stale?.end(name);
    this.tell(new Set([name]), null);
  }

  /**
   * The reader left a field.
   * @param {string} name
   */
  left(name) {
    if (this.stale?.has(name)) this.#endStale(name);
    this.store.catchUp();
  }

  /** The page was away, in the browser's back-forward cache: nothing in it is being edited, and all is taken over. */
  refresh() {
    this.#isAway = true;
    this.#entered.clear();
    this.stale?.clear();
    this.store.catchUp();
    this.#isAway = false;
  }

  /**
   * Look at a link's values. The reader's own habits stay: a link carries none.
   * @param {Entries} record
   */
  look(record) {
    this.#show(this.#withHabits(record));
  }

  /**
   * Whether a link says just what the reader has, but for the lists of which it says how things stand, and for the marks
   * that what came from elsewhere gets.
   * @param {Entries} record
   * @param {Entries} marks
   */
  matches(record, marks = {}) {
    const names = new Set([...this.#bowNames(this.own), ...namesOf(record)]);
    /** @param {string} name */
    const agrees = (name) => sameEntry(this.own[name], record[name]) || sameEntry(this.own[name], marks[name] ?? record[name]);
    return [...names].every((name) => this.scopeOf(name) === "home" || agrees(name));
  }

  /**
   * Whether a record has lists of which a link says how things stand.
   * @param {Entries} record
   */
  hasLists(record) {
    return this.#namesOf(record, "home").length > 0;
  }

  /** Back to one's own values. */
  back() {
    this.#show(null);
  }

  /**
   * Make the values shown one's own; what was there can be had back with `undo`. Under the name of one's own bow they are
   * of that bow, and its lists get the rows of both. Another bow's lists take the place of one's own, where it has any;
   * where it has none, one's own stay, unless they have gone to the shelf with their bow.
   */
  keep() {
    this.store.catchUp();
    const linked = this.linked ?? {};
    const record = this.#joined(linked);
    const isSame = this.#isNamedAs(linked);
    this.#show(null);
    this.replace(record, isSame ? this.store.bowId : null, isSame);
  }

  /**
   * Whether a link's values are of one's own bow, by its name.
   * @param {Entries} linked
   */
  #isNamedAs(linked) {
    return nameOf(linked) !== "" && nameOf(linked) === nameOf(this.own);
  }

  /**
   * A link's values with one's own lists, as `keep` says.
   * @param {Entries} linked
   */
  #joined(linked) {
    const isSame = this.#isNamedAs(linked);
    const stays = isSame || this.store.bowId === null ? this.#only("home") : {};
    /** @type {Entries} */
    const record = { ...stays, ...linked };
    if (isSame || !this.hasOwn) {
      for (const [name, rows] of Object.entries(stays)) record[name] = allRows(rows, record[name], this.most(name));
    }
    return record;
  }

  /** Empty every field; can be undone. While a link is looked at, one's own are shown first and then emptied. */
  clear() {
    this.store.catchUp();
    this.#show(null);
    this.replace({}, null);
  }

  get canUndo() {
    return this.remembered !== null && this.linked === null;
  }

  /**
   * Exchange the values with those before the last `keep`, `clear` or remembered change: nothing entered since then is lost
   * either. Where another tab has put another bow on the bench since, that one goes to the shelf, and the one of then comes
   * back with what was changed of it later.
   */
  undo() {
    if (!this.canUndo) return;
    this.store.catchUp();
    if (this.remembered === null) return;
    const { bow, record, times } = this.remembered;
    const isSame = isSameBow(bow, this.store.bow);
    const later = isSame ? [] : this.#changedSince(bow, times);
    this.replace({ ...record, ...Object.fromEntries(later) }, bow?.id ?? null, isSame);
  }

  /**
   * Entries of a bow on the shelf that are newer than these times, undefined for an emptied one.
   * @param {BenchBow | null} bow
   * @param {Times} times
   * @returns {[string, Entry][]}
   */
  #changedSince(bow, times) {
    const shelved = this.shelf?.bows.get(bow?.id ?? "");
    if (!shelved) return [];
    const names = Object.keys(shelved.times).filter((name) => shelved.times[name] > (times[name] ?? 0));
    return names.map((name) => [name, shelved.record[name]]);
  }

  /**
   * Replace one's own record by another, remembering what was there: of that bow of the shelf, or of none; `isSame` tells
   * that it is the bow that lies on the bench.
   * @param {Entries} record
   * @param {string | null} bowId
   */
  replace(record, bowId, isSame = bowId !== null && bowId === this.store.bowId) {
    if (!isSame && this.store.bowId !== null) this.leave();
    this.#become(record, bowId, isSame);
  }

  /**
   * The same where the bow that was here has its place already: it has just been put on the shelf, or deleted from it.
   * @param {Entries} record
   * @param {string | null} bowId
   */
  takeUp(record, bowId) {
    this.#become(record, bowId, bowId !== null && bowId === this.store.bowId);
  }

  /**
   * @param {Entries} record
   * @param {string | null} bowId
   * @param {boolean} isSame
   * @param {Entries} shown what the page shows already
   */
  #become(record, bowId, isSame, shown = { ...this.own }) {
    const before = { ...this.own };
    const names = new Set([...namesOf(before), ...namesOf(record)]);
    const changed = [...names].filter((name) => !sameEntry(before[name], record[name]));
    /** @type {[string, Entry | null][]} */
    const entries = changed.map((name) => [name, record[name] ?? null]);
    this.#remembering(() => (isSame ? this.store.change(entries) : this.#exchange(entries, bowId)));
    const news = [...names].filter((name) => !sameEntry(shown[name], record[name]));
    this.tell(new Set(news), null);
  }

  /**
   * @param {Iterable<[string, Entry | null]>} entries
   * @param {string | null} bowId
   */
  #exchange(entries, bowId) {
    this.store.exchange(entries, bowId);
    this.#entered.clear();
    this.stale?.clear();
  }

  /**
   * Fields of one's own record changed elsewhere: in another tab, or read from a damaged text.
   * @param {Set<string>} names
   */
  taken(names) {
    // What the reader is just entering is the later one.
    if (this.#changing !== null && !this.edited().has(this.#changing)) names.delete(this.#changing);
    if (!this.linked) this.tell(names, this.#isAway ? null : ELSEWHERE);
  }

  /**
   * Another tab put another bow on the bench; `before` is what was here.
   * @param {RecordState} before
   */
  departed(before) {
    if (this.remembered && isSameBow(this.remembered.bow, before.bow)) this.remembered.bow = before.bow;
    /** @type {Map<string, Entry | null | undefined>} */
    const edited = new Map(this.linked || this.#isAway ? [] : this.edited());
    if (this.#changing !== null) edited.set(this.#changing, undefined);
    const bench = { id: this.store.bowId, record: this.#ofBow(this.own) };
    this.stale?.begin(before, bench, {
      entered: this.#entered,
      edited: new Map([...edited].filter(([name]) => this.#isOfBow(name))),
    });
    this.#entered.clear();
  }

  /**
   * @param {Set<string>} names
   * @param {unknown} source
   */
  tell(names, source) {
    for (const listener of this.listeners) listener(names, source);
  }

  /**
   * Change one's own record so that `undo` brings back what was there, with the times of just after.
   * @param {() => void} act
   */
  #remembering(act) {
    const before = { record: { ...this.own }, bow: this.store.bow };
    act();
    this.remembered = { ...before, times: { ...this.store.times } };
  }

  /** @param {Entries} record */
  #ofBow(record) {
    const names = ["version", ...this.#bowNames(record), ...this.#namesOf(record, "home")];
    return Object.fromEntries(names.map((name) => [name, record[name]]));
  }

  /** @param {string} name */
  #isOfBow(name) {
    return ["bow", "home"].includes(this.scopeOf(name));
  }

  /** @param {Entries} record */
  #bowNames(record) {
    return this.#namesOf(record, "bow");
  }

  /**
   * @param {Entries} record
   * @param {string} scope
   */
  #namesOf(record, scope) {
    return namesOf(record).filter((name) => this.scopeOf(name) === scope);
  }

  /**
   * One's own fields of a scope.
   * @param {string} scope
   */
  #only(scope) {
    return Object.fromEntries(this.#namesOf(this.own, scope).map((name) => [name, this.own[name]]));
  }

  /** @param {Entries} record */
  #withHabits(record) {
    return { ...this.#only("reader"), ...record };
  }

  /** @param {Entries | null} linked */
  #show(linked) {
    const before = this.shown;
    this.linked = linked;
    this.tell(new Set([...namesOf(before), ...namesOf(this.shown)]), null);
  }
}
