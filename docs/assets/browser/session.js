// The record that the page shows: the reader's own, or for a while the values of a link. Every form, answer and
// button of the page goes through here, so that a value entered in one place is known in all.

import { allRows, nameOf } from "./bow.js";
import { namesOf, sameEntry } from "./entry.js";
import { isSameBow } from "./stored_record.js";
import { mergeRows } from "./merge_rows.js";

/** Who changed a field, where it was another tab: what is being edited here stays on the screen until it is left. */
export const ELSEWHERE = Symbol("another tab");

export class Session {
  // The fields of the bow that were changed in this tab since it came to the bench, and the one that is just changing.
  #entered = new Set();
  #changing = null;
  #isAway = false;

  /**
   * `scopeOf(name)` is bow, home (a list of the bow, of which a link carries only how things stand), reader or view;
   * `most(name)` how many rows such a list may have. Listeners get the names that changed and who changed them.
   * `leave()` puts the bow of the record on the shelf, before the record becomes another bow's; `shelf` is that, `stale`
   * has the edits that were begun for a bow that left the bench, and `edited()` gives the fields that the reader is in, a map
   * of name to the entry on the screen.
   */
  constructor({ store, scopeOf, most = () => Infinity, leave = () => {}, shelf = null, stale = null, edited = () => new Map() }) {
    Object.assign(this, { store, scopeOf, most, leave, shelf, stale, edited });
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
   * for what goes by one press, it can be undone; returns whether that is so. `base` is what stood in the field before:
   * where another tab has changed the same list meanwhile, its rows stay too.
   */
  change(name, entry, source, { remember = false, base } = {}) {
    this.#catchUp(name);
    if (!this.linked && this.stale?.has(name)) return this.#changeStale(name, entry, base);
    const now = Array.isArray(entry ?? base) ? mergeRows(entry, this.shown[name], base) : entry;
    if (sameEntry(this.shown[name], now)) return false;
    const undoes = remember && !this.linked;
    if (undoes) this.#remembering(() => this.#enter(name, now));
    else this.#enter(name, now);
    this.tell(new Set([name]), source);
    return undoes;
  }

  /** Several entries by one press, null for those that are emptied; returns whether it can be undone. */
  changeAll(entries) {
    if (this.linked) {
      for (const [name, entry] of Object.entries(entries)) this.change(name, entry, null);
      return false;
    }
    this.store.catchUp();
    const record = { ...this.own, ...entries };
    for (const name of namesOf(entries)) if (entries[name] === null) delete record[name];
    this.replace(record, this.store.bowId);
    return true;
  }

  #enter(name, entry) {
    if (!this.linked) {
      this.store.change([[name, entry]]);
      if (this.#isOfBow(name)) this.#entered.add(name);
    } else if (entry === null) delete this.linked[name];
    else this.linked[name] = entry;
  }

  /** Before a change: what other tabs stored, and this one has not heard of. What is of the view is in no storage. */
  #catchUp(name) {
    if (this.linked || this.scopeOf(name) === "view") return;
    this.#changing = name;
    this.store.catchUp();
    this.#changing = null;
  }

  #changeStale(name, entry, base) {
    this.stale.change(name, entry, base);
    // Changed without being in it, by a slider under a finger.
    if (!this.edited().has(name)) this.#endStale(name);
    return false;
  }

  /** The field shows what the new bow has. */
  #endStale(name) {
    this.stale.end(name);
    this.tell(new Set([name]), null);
  }

  /** The reader left a field. */
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
    this.store.catchUp();
    const { bowId } = this.store;
    const isSame = nameOf(this.linked) !== "" && nameOf(this.linked) === nameOf(this.own);
    const stays = isSame || bowId === null ? this.#only("home") : {};
    const record = { ...stays, ...this.linked };
    if (isSame || !this.hasOwn) {
      for (const [name, rows] of Object.entries(stays)) record[name] = allRows(rows, record[name], this.most(name));
    }
    this.#show(null);
    this.replace(record, isSame ? bowId : null, isSame);
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
    const { bow, record, times } = this.remembered;
    const isSame = isSameBow(bow, this.store.bow);
    const later = isSame ? [] : this.#changedSince(bow, times);
    this.replace({ ...record, ...Object.fromEntries(later) }, bow?.id ?? null, isSame);
  }

  /** Entries of a bow on the shelf that are newer than these times, undefined for an emptied one. */
  #changedSince(bow, times) {
    const shelved = this.shelf?.bows.get(bow?.id);
    const names = Object.keys(shelved?.times ?? {}).filter((name) => shelved.times[name] > (times[name] ?? 0));
    return names.map((name) => [name, shelved.record[name]]);
  }

  /**
   * Replace one's own record by another, remembering what was there: of that bow of the shelf, or of none; `isSame` tells
   * that it is the bow that lies on the bench.
   */
  replace(record, bowId, isSame = bowId !== null && bowId === this.store.bowId) {
    if (!isSame && this.store.bowId !== null) this.leave();
    const before = { ...this.own };
    const names = new Set([...namesOf(before), ...namesOf(record)]);
    const changed = [...names].filter((name) => !sameEntry(before[name], record[name]));
    const entries = changed.map((name) => [name, record[name] ?? null]);
    this.#remembering(() => (isSame ? this.store.change(entries) : this.#exchange(entries, bowId)));
    this.tell(new Set(changed), null);
  }

  #exchange(entries, bowId) {
    this.store.exchange(entries, bowId);
    this.#entered.clear();
    this.stale?.clear();
  }

  /** Fields of one's own record changed elsewhere: in another tab, or read from a damaged text. */
  taken(names) {
    // What the reader is just entering is the later one.
    if (!this.edited().has(this.#changing)) names.delete(this.#changing);
    if (!this.linked) this.tell(names, this.#isAway ? null : ELSEWHERE);
  }

  /** Another tab put another bow on the bench; `before` is what was here: {bow, record, times}. */
  departed(before) {
    if (this.remembered && isSameBow(this.remembered.bow, before.bow)) this.remembered.bow = before.bow;
    const edited = new Map(this.linked || this.#isAway ? [] : this.edited());
    if (this.#changing !== null) edited.set(this.#changing, undefined);
    const bench = { id: this.store.bowId, record: this.#ofBow(this.own) };
    this.stale?.begin(before, bench, {
      entered: this.#entered,
      edited: new Map([...edited].filter(([name]) => this.#isOfBow(name))),
    });
    this.#entered.clear();
  }

  tell(names, source) {
    for (const listener of this.listeners) listener(names, source);
  }

  /** Change one's own record so that `undo` brings back what was there: {record, bow, times}, the times of just after. */
  #remembering(act) {
    const before = { record: { ...this.own }, bow: this.store.bow };
    act();
    this.remembered = { ...before, times: { ...this.store.times } };
  }

  #ofBow(record) {
    const names = ["version", ...this.#bowNames(record), ...this.#namesOf(record, "home")];
    return Object.fromEntries(names.map((name) => [name, record[name]]));
  }

  #isOfBow(name) {
    return ["bow", "home"].includes(this.scopeOf(name));
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
