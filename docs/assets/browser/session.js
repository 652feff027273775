// The record that the page shows: the reader's own, or for a while the values of a link. Every form, answer and
// button of the page goes through here, so that a value entered in one place is known in all.

import { allRows, nameOf } from "./bow.js";
import { namesOf, sameEntry } from "./entry.js";

export class Session {
  /**
   * `scopeOf(name)` is bow, home (a list of the bow, of which a link carries only how things stand), reader or view;
   * `most(name)` how many rows such a list may have. Listeners get the names that changed and who changed them.
   * `leave()` puts the bow of the record on the shelf, before the record becomes another bow's.
   */
  constructor({ store, scopeOf, most = () => Infinity, leave = () => {} }) {
    Object.assign(this, { store, scopeOf, most, leave });
    this.linked = null;
    this.remembered = null;
    this.listeners = new Set();
  }

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
   * for what goes by one press, it can be undone; returns whether that is so.
   */
  change(name, entry, source, { remember = false } = {}) {
    if (sameEntry(this.shown[name], entry)) return false;
    const undoes = remember && !this.linked;
    if (undoes) this.#remember();
    if (!this.linked) this.store.change([[name, entry]]);
    else if (entry === null) delete this.linked[name];
    else this.linked[name] = entry;
    this.tell(new Set([name]), source);
    return undoes;
  }

  /** Several entries by one press, null for those that are emptied; returns whether it can be undone. */
  changeAll(entries) {
    if (this.linked) {
      for (const [name, entry] of Object.entries(entries)) this.change(name, entry, null);
      return false;
    }
    const record = { ...this.own, ...entries };
    for (const name of namesOf(entries)) if (entries[name] === null) delete record[name];
    this.replace(record, this.store.bowId);
    return true;
  }

  /** Look at a link's values. The reader's own habits stay: a link carries none. */
  look(record) {
    this.#show(this.#withHabits(record));
  }

  /**
   * Whether a link says just what the reader has, but for the lists of which it says how things stand, and for the marks
   * that what came from elsewhere gets.
   */
  matches(record, marks = {}) {
    const names = new Set([...this.#bowNames(this.own), ...namesOf(record)]);
    const agrees = (name) => sameEntry(this.own[name], record[name]) || sameEntry(this.own[name], marks[name] ?? record[name]);
    return [...names].every((name) => this.scopeOf(name) === "home" || agrees(name));
  }

  /** Whether a record has lists of which a link says how things stand. */
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
    const { bowId } = this.store;
    const isSame = nameOf(this.linked) !== "" && nameOf(this.linked) === nameOf(this.own);
    const stays = isSame || bowId === null ? this.#only("home") : {};
    const record = { ...stays, ...this.linked };
    if (isSame || !this.hasOwn) {
      for (const [name, rows] of Object.entries(stays)) record[name] = allRows(rows, record[name], this.most(name));
    }
    this.#show(null);
    this.replace(record, isSame ? bowId : null);
  }

  /** Empty every field; can be undone. While a link is looked at, one's own are shown first and then emptied. */
  clear() {
    this.#show(null);
    this.replace({}, null);
  }

  get canUndo() {
    return this.remembered !== null && this.linked === null;
  }

  /** Exchange the values with those before the last `keep`, `clear` or remembered change: nothing entered since then is lost either. */
  undo() {
    if (this.canUndo) this.replace(this.remembered.record, this.remembered.bowId);
  }

  /** Replace one's own record by another, of that bow of the shelf or of none, remembering what was there. */
  replace(record, bowId) {
    if (this.store.bowId !== null && this.store.bowId !== bowId) this.leave();
    const before = { ...this.own };
    const names = new Set([...namesOf(before), ...namesOf(record)]);
    const changed = [...names].filter((name) => !sameEntry(before[name], record[name]));
    this.#remember();
    this.store.change(changed.map((name) => [name, record[name] ?? null]), bowId);
    this.tell(new Set(changed), null);
  }

  /** Fields of one's own record changed elsewhere: in another tab, or read from a damaged text. */
  taken(names) {
    if (!this.linked) this.tell(names, null);
  }

  tell(names, source) {
    for (const listener of this.listeners) listener(names, source);
  }

  #remember() {
    this.remembered = { record: { ...this.own }, bowId: this.store.bowId };
  }

  #ofBow(record) {
    const names = ["version", ...this.#bowNames(record), ...this.#namesOf(record, "home")];
    return Object.fromEntries(names.map((name) => [name, record[name]]));
  }

  #bowNames(record) {
    return this.#namesOf(record, "bow");
  }

  #namesOf(record, scope) {
    return namesOf(record).filter((name) => this.scopeOf(name) === scope);
  }

  /** One's own fields of a scope. */
  #only(scope) {
    return Object.fromEntries(this.#namesOf(this.own, scope).map((name) => [name, this.own[name]]));
  }

  #withHabits(record) {
    return { ...this.#only("reader"), ...record };
  }

  #show(linked) {
    const before = this.shown;
    this.linked = linked;
    this.tell(new Set([...namesOf(before), ...namesOf(this.shown)]), null);
  }
}
