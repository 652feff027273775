// A page without a page: a session, and boxes that keep to the form's rules (form.js): what the reader is in is not taken
// from under them, and shows the newest once it is left.

import { nameOf } from "../../docs/assets/browser/bow.js";
import { namesOf, sameEntry } from "../../docs/assets/browser/entry.js";
import { openSession } from "../../docs/assets/browser/open_session.js";
import { ELSEWHERE } from "../../docs/assets/browser/session.js";
import { storageKey } from "../../docs/assets/browser/site_paths.js";

/** @import { Bow } from "../../docs/assets/browser/bow.js" */
/** @import { Entries, Entry } from "../../docs/assets/browser/entry.js" */
/** @import { FakeBrowser } from "./fake_browser.mjs" */

export const RECORD = storageKey("record");
export const SHELF = storageKey("bows");

/** @type {{ [name: string]: string }} */
const SCOPES = { habit: "reader", look: "view", entries: "home", diary: "home" };

export class FakePage {
  /**
   * What each box shows; null where it is empty.
   * @type {Map<string, Entry | null>}
   */
  #boxes = new Map();
  /** @type {string | null} */
  #editing = null;
  /** @type {Set<string>} */
  #behind = new Set();
  /** @type {Set<string>} */
  said = new Set();
  /**
   * The fields of which answers would have been asked for, in turn.
   * @type {string[][]}
   */
  asked = [];

  /** @param {FakeBrowser} browser */
  constructor(browser) {
    this.browser = browser;
    this.tab = browser.tab();
    const { store, shelf, session } = this.tab.run(() =>
      openSession({
        version: 1,
        say: (sentence) => this.said.add(sentence),
        scopeOf: (name) => SCOPES[name] ?? "bow",
        edited: () => new Map(this.#editing === null ? [] : [[this.#editing, this.value(this.#editing)]]),
        most: () => 3,
      }),
    );
    this.store = store;
    this.shelf = shelf;
    this.session = session;
    session.listen((names, source) => this.#changed(names, source));
    /** What the package must read first, or null. */
    this.recoverable = this.tab.run(() => store.load());
    for (const name of namesOf(session.shown)) this.#write(name);
  }

  /**
   * What stands in a box; null where nothing does.
   * @param {string} name
   */
  value(name) {
    return this.#boxes.get(name) ?? null;
  }

  /**
   * Go into a box, and out of the one before.
   * @param {string | null} name
   */
  enter(name) {
    const left = this.#editing;
    this.#editing = name;
    if (left === null || left === name) return;
    this.tab.run(() => this.session.left(left));
    if (this.#behind.has(left)) this.#write(left);
  }

  /**
   * Go into a box and have something else stand there.
   * @param {string} name
   * @param {Entry | null} entry
   */
  type(name, entry) {
    this.enter(name);
    return this.move(name, entry);
  }

  /**
   * Have something else stand in a box without going into it, as by a slider under a finger or by a button.
   * @param {string} name
   * @param {Entry | null} entry
   */
  move(name, entry, { remember = false } = {}) {
    const base = this.value(name);
    this.#boxes.set(name, entry);
    return this.tab.run(() => !sameEntry(base, entry) && this.session.change(name, entry, this, { base, remember }));
  }

  clear() {
    this.tab.run(() => this.session.clear());
  }

  undo() {
    this.tab.run(() => this.session.undo());
  }

  /**
   * Take the bow of this name from the shelf to the bench, as the list of bows does: the one that lies there goes first.
   * @param {string} name
   */
  take(name) {
    this.tab.run(() => {
      const { session, shelf, store } = this;
      store.catchUp();
      const bow = [...shelf.bows.values()].find(({ record }) => nameOf(record) === name);
      if (!bow) throw new Error(`no ${name} on the shelf`);
      this.putOnShelf();
      const { habit } = store.record;
      session.takeUp({ ...bow.record, ...(habit === undefined ? {} : { habit }) }, bow.id);
    });
  }

  /** Put the bow of the bench on the shelf, and leave it where it is. */
  putOnShelf() {
    this.tab.run(() => {
      const { shelf, store } = this;
      store.catchUp();
      const [record, times] = [{ ...store.record }, { ...store.times }];
      delete record.habit;
      delete times.habit;
      const { id } = shelf.put(store.bowId, record, times);
      if (store.bowId === null) store.identify(id);
    });
  }

  /** The page comes back from the browser's back-forward memory. */
  comeBack() {
    this.tab.run(() => this.session.refresh());
  }

  /**
   * @param {Set<string>} names
   * @param {unknown} source
   */
  #changed(names, source) {
    this.asked.push([...names]);
    if (source === this) return;
    for (const name of names) {
      if (source === ELSEWHERE && name === this.#editing) this.#behind.add(name);
      else this.#write(name);
    }
  }

  /** @param {string} name */
  #write(name) {
    this.#behind.delete(name);
    this.#boxes.set(name, this.session.shown[name] ?? null);
  }
}

/**
 * The bows of the shelf, by their names.
 * @param {FakeBrowser} browser
 * @returns {{ [name: string]: Bow }}
 */
export function onShelf(browser) {
  /** @type {{ bows: Bow[] }} */
  const { bows } = browser.stored(SHELF);
  return Object.fromEntries(bows.map((bow) => [nameOf(bow.record), bow]));
}

/**
 * The record that is kept, with its version.
 * @param {FakeBrowser} browser
 * @returns {Entries}
 */
export function kept(browser) {
  return browser.stored(RECORD).record;
}
