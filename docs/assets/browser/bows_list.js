// The reader's bows: the open one and those that are saved, what can be done with them, files.

import { Banner } from "./banner.js";
import { FileImport } from "./file_import.js";
import { SITE } from "./site_paths.js";
import { closestTo, find, findMaybe } from "./dom.js";
import { backToFocus, placeOfFocus } from "./focus.js";
import { called, changedAt, freeName, nameOf, newId, renamed, returned } from "./bow.js";
import { card } from "./bow_card.js";
import { download } from "./download.js";
import { Rack } from "./rack.js";
import { RackActs } from "./rack_acts.js";
import { fileName, fileText } from "./bow_file.js";
import { namesOf } from "./entry.js";
import { shareRecord } from "./share.js";

/** @import { Bow } from "./bow.js" */
/** @import { Client } from "./client.js" */
/** @import { Session } from "./session.js" */
/** @import { Shelf } from "./shelf.js" */
/** @import { Status } from "./status.js" */
/** @import { CardWords } from "./bow_card.js" */
/** @import { Changes } from "./shelf.js" */
/** @import { Entries, Times } from "./entry.js" */
/** @import { ImportRules } from "./file_import.js" */

/**
 * What the page knows of fields, built into it as data.
 * @typedef {CardWords & ImportRules & { scopes: { [name: string]: string } }} About
 */

/**
 * What lies on the bench, or is to lie there: a record, and its id on the shelf.
 * @typedef {{ record: Entries, bowId: string | null }} OnBench
 */

/**
 * What can be undone: its words, what was on the shelf, by id, and what was on the bench, null where that stays.
 * @typedef {{ words: string, shelf: Changes, bench: OnBench | null }} Undoable
 */

const UNSAFE =
  "The open bow could not be saved, because this browser's storage is full. Save your bows to a file and delete some here.";

/**
 * Show the reader's bows, in the page's own session.
 * @param {HTMLElement} section
 * @param {{ session: Session, shelf: Shelf, client: Client, status: Status }} page
 */
export function showBows(section, { session, shelf, client, status }) {
  /** @type {About} */
  const about = JSON.parse(find(section, "script[type='application/json']").textContent);
  const bows = new BowsList(section, { about, status, session, shelf, client });
  shelf.listen(() => bows.render());
  bows.begin();
}

class BowsList {
  /**
   * What can be undone, the newest last.
   * @type {Undoable[]}
   */
  #undoable = [];
  /**
   * Which card is being renamed, and which are unfolded: they stay so when the list is shown anew.
   * @type {string | null}
   */
  #renaming = null;
  /** @type {Set<string>} */
  #unfolded = new Set();

  /**
   * @param {HTMLElement} section
   * @param {{ about: About, status: Status, session: Session, shelf: Shelf, client: Client }} parts
   */
  constructor(section, { about, status, session, shelf, client }) {
    this.section = section;
    this.about = about;
    this.status = status;
    this.session = session;
    this.shelf = shelf;
    this.client = client;
    this.store = session.store;
    this.parts = {
      bench: findMaybe(section, ".qt-bench"),
      shelf: find(section, ".qt-shelf"),
      count: find(section, ".qt-shelf-count"),
      empty: find(section, ".qt-shelf-empty"),
    };
    this.tools = find(section, ".qt-tools");
    this.banner = new Banner(find(section, ".qt-banner"), "What a file holds");
    this.rack = section.classList.contains("qt-bows--rack") ? this.#makeRack() : null;
    this.fileImport = new FileImport({
      about,
      client,
      banner: this.banner,
      say: (text) => this.#tell(text),
      bows: () => (this.#putBench() ? this.shelf.bows : new Map()),
      ofBow: (entries) => this.#ofBow(entries),
      put: (changes, words) => this.#change(changes, words),
    });
  }

  /** Show everything and listen. */
  begin() {
    const { section } = this;
    section.addEventListener("click", (event) => {
      const act = closestTo(event, "button[data-act]")?.dataset.act;
      if (act) this.#act(act, closestTo(event, "[data-bow]")?.dataset.bow ?? "");
    });
    section.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#rename(find(section, ".qt-rename input", HTMLInputElement).value);
    });
    section.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && this.#renaming !== null) this.#endRename();
    });
    // A fold's event does not rise: it is caught on its way down.
    /** @param {Event} event */
    const toggled = (event) => {
      const id = closestTo(event, "[data-bow]")?.dataset.bow;
      if (id === undefined || !(event.target instanceof HTMLDetailsElement)) return;
      if (event.target.open) this.#unfolded.add(id);
      else this.#unfolded.delete(id);
    };
    section.addEventListener("toggle", toggled, true);
    const input = find(section, "input[type=file]", HTMLInputElement);
    input.addEventListener("change", () => {
      const file = input.files?.[0];
      if (file) this.fileImport.read(file);
      // The same file can then be chosen again.
      input.value = "";
    });
    this.session.listen(() => this.render());
    find(section, ".qt-bows-live").hidden = false;
    this.render();
  }

  render() {
    const focus = placeOfFocus(this.section);
    const typed = findMaybe(this.section, ".qt-rename input", HTMLInputElement)?.value;
    const bench = this.#bench;
    const { parts, rack } = this;
    const others = rack ? rack.seen : this.#others;
    /**
     * @param {Bow} bow
     * @param {boolean} isOnBench
     */
    const shown = (bow, isOnBench) => {
      const written = bow.id === this.#renaming ? (typed ?? nameOf(bow.record)) : null;
      const isUnfolded = this.#unfolded.has(bow.id);
      return card(bow, { about: this.about, isOnBench, isUnfolded, written, acts: rack?.acts(bow), told: rack?.about(bow) });
    };
    parts.bench?.replaceChildren(bench ? shown(bench, true) : "Nothing is entered yet: this is an empty bow.");
    const isOpen = (/** @type {Bow} */ bow) => bow.id === bench?.id;
    const rows = others.map((bow) => (rack ? rack.row(bow, shown(bow, isOpen(bow)), isOpen(bow)) : shown(bow, false)));
    parts.shelf.replaceChildren(...rows);
    (parts.shelf.closest("table") ?? parts.shelf).hidden = others.length === 0;
    parts.empty.hidden = others.length > 0;
    parts.count.textContent = rack?.count ?? (others.length > 0 ? ` (${others.length})` : "");
    /** @param {string} act */
    const tool = (act) => find(this.tools, `[data-act=${act}]`);
    tool("new").hidden = bench === null;
    tool("save-all").hidden = bench === null && others.length === 0;
    tool("undo").hidden = this.#undoable.length === 0;
    tool("undo").textContent = `Undo ${this.#undoable.at(-1)?.words ?? ""}`;
    backToFocus(this.section, focus);
    rack?.refresh();
  }

  #makeRack() {
    const { client, status, section } = this;
    /** @param {[string, unknown]} entry */
    const isHabit = ([name]) => this.about.scopes[name] === "reader";
    const rack = new Rack(section, {
      client,
      habits: () => Object.fromEntries(Object.entries(this.store.record).filter(isHabit)),
      say: (text) => this.#tell(text),
      bows: () => this.#all,
      changed: () => this.render(),
    });
    this.rackActs = new RackActs({
      rack,
      about: this.about,
      banner: this.banner,
      version: this.store.version,
      tell: (text) => this.#tell(text),
      bows: () => this.#all,
      bench: () => this.#bench,
      putBench: () => this.#putBench(),
      change: (changes, words) => this.#change(changes, words),
      share: (record) => shareRecord(record, { client, status, section, page: SITE.href }),
    });
    return rack;
  }

  /** The bow on the bench, as it is now; null where nothing is entered. Its id is "" before it was ever on the shelf. */
  get #bench() {
    const { store } = this;
    const record = this.#ofBow(store.record);
    if (namesOf(record).length === 0) return null;
    const before = this.shelf.bows.get(store.bowId ?? "");
    return returned(store.bowId ?? "", { version: store.version, ...record }, this.#ofBow(store.times), before);
  }

  /** The bows on the shelf, by their names; those without one come last. */
  get #others() {
    /** @param {Bow} bow */
    const name = (bow) => nameOf(bow.record) || "\uffff";
    /**
     * @param {Bow} one
     * @param {Bow} other
     */
    const inOrder = (one, other) =>
      name(one).localeCompare(name(other), "en", { numeric: true }) || changedAt(one) - changedAt(other);
    return [...this.shelf.bows.values()].filter(({ id }) => id !== this.store.bowId).sort(inOrder);
  }

  get #all() {
    return [this.#bench, ...this.#others].filter((bow) => bow !== null);
  }

  /** @param {string} id */
  #bow(id) {
    return this.#all.find((bow) => bow.id === id) ?? null;
  }

  /**
   * Of entries or times, those of a bow: a reader's habits are of none, and the view of nobody.
   * @template T
   * @param {{ [name: string]: T }} entries
   * @returns {{ [name: string]: T }}
   */
  #ofBow(entries) {
    /** @param {[string, T]} field */
    const isOfBow = ([name]) => name !== "version" && (this.about.scopes[name] ?? "bow") === "bow";
    return Object.fromEntries(Object.entries(entries).filter(isOfBow));
  }

  /**
   * A record for the bench: the bow's, with the reader's own habits as they are.
   * @param {Entries} record
   * @returns {Entries}
   */
  #forBench(record) {
    const { store, about } = this;
    const habits = Object.entries(store.record).filter(([name]) => about.scopes[name] === "reader");
    return { version: store.version, ...this.#ofBow(record), ...Object.fromEntries(habits) };
  }

  /**
   * Do what a button says; `id` is that of the bow that it stands at.
   * @param {string} act
   * @param {string} id
   */
  #act(act, id) {
    // Another tab may have stored something that this one has not heard of yet.
    this.store.catchUp();
    /** @type {{ [act: string]: () => void }} */
    const acts = {
      ...this.rackActs?.of(id),
      take: () => this.#take(id),
      copy: () => this.#copy(),
      new: () => this.#new(),
      rename: () => this.#startRename(id),
      "leave-name": () => this.#endRename(),
      delete: () => this.#delete(id),
      link: () => this.#link(id),
      save: () => this.#save([id]),
      "save-all": () => this.#save(null),
      undo: () => this.#undo(),
    };
    acts[act]?.();
  }

  /** @param {string} text */
  #tell(text) {
    this.status.say(text, "bows");
  }

  /** Put the bow of the bench on the shelf as it is now, and say it where that cannot be; whether it is safe there. */
  #putBench() {
    const bench = this.#bench;
    if (bench === null) return true;
    const { id, refused } = this.shelf.put(this.store.bowId, bench.record, bench.times);
    if (refused !== null) {
      this.#tell(refused);
      return false;
    }
    if (this.store.bowId === null) this.store.identify(id);
    return true;
  }

  /** The same before the bench is given to another bow: what could not be stored must not go from there. */
  #clearBench() {
    if (!this.#putBench()) return false;
    const isSafe = this.shelf.isStored || this.shelf.isForbidden;
    if (!isSafe) this.#tell(UNSAFE);
    return isSafe;
  }

  /**
   * Change bows, as the shelf does, and the bench with them; what was there can be had back with "Undo" and `words`.
   * A sentence where nothing was changed, else null.
   * @param {Changes} changes
   * @param {string} words
   * @param {OnBench | null} bench
   */
  #change(changes, words, bench = null) {
    this.store.catchUp();
    const { bows } = this.shelf;
    /** @type {Changes} */
    const before = new Map();
    for (const id of changes.keys()) before.set(id, bows.get(id) ?? null);
    const { record, bowId } = this.store;
    this.#undoable.push({ words, shelf: before, bench: bench && { record: { ...record }, bowId } });
    const refused = this.shelf.change(changes);
    if (refused !== null) {
      this.#undoable.pop();
      this.#tell(refused);
      return refused;
    }
    const follows = changes.get(bowId ?? "");
    if (bench) this.session.takeUp(bench.record, bench.bowId);
    else if (follows) this.session.replace(this.#forBench(follows.record), bowId);
    this.render();
    return null;
  }

  #undo() {
    const last = this.#undoable.at(-1);
    if (!last) return;
    const { shelf, bench, words } = last;
    // Where another bow lies on the bench by now, it stays, and the one had back lies on the shelf.
    if (this.#change(shelf, words, this.#bench === null ? bench : null) !== null) return;
    // Itself, and what it has undone.
    this.#undoable.splice(-2);
    this.render();
    if (this.#undoable.length === 0) (findMaybe(this.section, "#bench") ?? find(this.section, "#shelf")).focus();
    this.#tell(`Undone: ${words}.`);
  }

  /** @param {string} id */
  #take(id) {
    const bow = this.#bow(id);
    const bench = this.#bench;
    if (bow && this.#clearBench()) {
      this.session.takeUp(this.#forBench(bow.record), id);
      (findMaybe(this.section, ".qt-bench h3") ?? findMaybe(this.section, `[data-bow="${id}"] h3`))?.focus();
      const other = bench ? ` ${called(bench)} is saved.` : "";
      this.#tell(`${called(bow)} is open: every page is about it now.${other}`);
    }
    this.render();
  }

  #new() {
    const bench = this.#bench;
    if (!bench || !this.#clearBench()) return;
    this.session.takeUp(this.#forBench({}), null);
    this.#tell(`This is an empty bow: enter it on any page. ${called(bench)} is saved.`);
  }

  #copy() {
    if (!this.#putBench()) return;
    const bench = this.#bench;
    if (!bench) return;
    const names = this.#all.map(({ record }) => nameOf(record));
    const name = freeName(nameOf(bench.record) || "Bow", names, this.about.longestName);
    const copy = { ...renamed(bench, name, Date.now()), id: newId() };
    if (this.#change(new Map([[copy.id, copy]]), `the copying of ${called(bench)}`) === null) {
      this.#tell(`A copy is saved: ${called(copy)}.`);
    }
  }

  /** @param {string} id */
  #startRename(id) {
    this.#renaming = id;
    this.render();
    const input = find(this.section, ".qt-rename input", HTMLInputElement);
    input.focus();
    input.select();
  }

  #endRename() {
    const id = this.#renaming;
    this.#renaming = null;
    this.render();
    findMaybe(this.section, `[data-bow="${id}"] h3`)?.focus();
  }

  /**
   * Give the bow that is being renamed its new name.
   * @param {string} text
   */
  #rename(text) {
    const id = this.#renaming ?? "";
    this.store.catchUp();
    const bow = this.#bow(id);
    const name = [...text.trim()].slice(0, this.about.longestName).join("");
    const isOnBench = bow?.id === this.#bench?.id;
    const refused = !bow || isOnBench ? null : this.shelf.change(new Map([[id, renamed(bow, name, Date.now())]]));
    // The one on the bench is renamed as any of its fields is changed.
    if (bow && isOnBench) this.session.replace(this.#forBench(renamed(bow, name).record), this.store.bowId, true);
    this.#endRename();
    this.#tell(refused ?? (name === "" ? "The bow has no name now." : `The bow is called “${name}” now.`));
  }

  /** @param {string} id */
  #delete(id) {
    const bow = this.#bow(id);
    const isOnBench = bow?.id === this.#bench?.id;
    // As it is now, so that undo brings back this and not an earlier state.
    if (!bow || (isOnBench && !this.#putBench())) return;
    const bench = isOnBench ? { record: this.#forBench({}), bowId: null } : null;
    const key = isOnBench ? (this.store.bowId ?? "") : id;
    if (this.#change(new Map([[key, null]]), `the deletion of ${called(bow)}`, bench) !== null) return;
    find(this.tools, "[data-act=undo]").focus();
    this.#tell(`${called(bow)} is deleted. Undo brings it back, until you leave this page.`);
  }

  /** @param {string} id */
  #link(id) {
    const { client, status, section } = this;
    const bow = this.#bow(id);
    if (bow) shareRecord(bow.record, { client, status, section, page: SITE.href });
  }

  /**
   * Save these bows, or all, to a file. The one of the bench first gets an id, by which it is known again.
   * @param {string[] | null} ids
   */
  #save(ids) {
    const place = ids?.map((id) => this.#all.findIndex((bow) => bow.id === id));
    this.#putBench();
    const bows = place ? place.map((at) => this.#all[at]) : this.#all;
    const text = fileText(bows.map((bow) => ({ ...bow, id: bow.id || newId() })));
    if (new Blob([text]).size > this.about.mostBytes) {
      this.#tell("These are too many for one file: save them one by one.");
      return;
    }
    const name = fileName(bows);
    download(name, text, "application/json");
    this.render();
    const what = bows.length === 1 ? `${called(bows[0])} is` : `${bows.length} bows are`;
    this.#tell(`${what} saved as ${name}.`);
  }
}
