// Values that came with the address. They are looked at first, over all pages of the tab, and are nobody's own until the
// reader keeps them or, having no bow of their own, changes something of them.

import { dayOf, nameOf, sameRecord } from "./bow.js";
import { namesOf, sameEntry, typedOf } from "./entry.js";
import { forget, remember, remembered } from "./looked_at.js";

/** @import { Answer } from "./reply.js" */
/** @import { Banner } from "./banner.js" */
/** @import { Choice } from "./dom.js" */
/** @import { Client } from "./client.js" */
/** @import { Entries } from "./entry.js" */
/** @import { Session } from "./session.js" */
/** @import { Shelf } from "./shelf.js" */

/**
 * What a link works with; `say(text, topic)` speaks a line.
 * @typedef {object} LinkParts
 * @property {Banner} banner
 * @property {Session} session
 * @property {Shelf} shelf
 * @property {Client} client
 * @property {(text: string, topic: string) => void} say
 */

// Any version of link: the package says in a sentence which it cannot read.
const OURS = /^#q\d+\./;

/**
 * Whether the address carries values.
 * @param {{ hash: string }} address
 */
export function carriesValues(address = location) {
  return OURS.test(address.hash);
}

/**
 * What came with a link: which bow, who set it, and when, as far as it says so.
 * @param {Entries} record
 */
function fromLink(record) {
  const name = nameOf(record);
  const by = typedOf(record.set_by).trim();
  const on = typedOf(record.set_on).trim();
  const day = /^\d{4}-\d{2}-\d{2}$/.test(on) && !isNaN(Date.parse(on)) ? dayOf(Date.parse(`${on}T12:00`)) : "";
  const set = by || day ? `, set${by && ` by ${by}`}${day && ` on ${day}`}` : "";
  return `These are values from a link${name && `: “${name}”${set}`}`;
}

/**
 * What whoever made the link wrote to those who open it: lines of text, none where nothing was written.
 * @param {Entries} record
 */
function wordsAlong(record) {
  const note = typedOf(record.link_note).trim();
  const ask = typedOf(record.whom_to_ask).trim();
  return [...(note ? [`Their note: “${note}”`] : []), ...(ask ? [`If in doubt, ask: ${ask}`] : [])];
}

export class Link {
  /**
   * What is looked at, as it came: the fragment, the values and what is to be said of them.
   * @type {{ fragment: string, record: Entries, notes: string[] } | null}
   */
  #sent = null;
  #isStarted = false;
  #isChanged = false;

  /** @param {LinkParts} parts */
  constructor({ banner, session, shelf, client, say }) {
    this.banner = banner;
    this.session = session;
    this.shelf = shelf;
    this.client = client;
    this.say = say;
    session.adopted = () => this.#adopted();
    session.listen(() => this.#changed());
    window.addEventListener("hashchange", () => this.open());
  }

  /** Take up the address: at the start, where a page before may have had the link, and whenever the fragment changes. */
  async open() {
    const { hash } = location;
    const before = this.#isStarted || carriesValues() ? null : remembered();
    this.#isStarted = true;
    if (before === null && !carriesValues()) {
      // Gone back to the bare page. A heading's fragment is only a place on it, and changes no values.
      if (hash === "" && this.session.linked) this.#own();
      return;
    }
    const fragment = before?.fragment ?? hash.slice(1);
    this.#tell("Opening the link's values …");
    const answer = await this.client.ask({ ask: "open", fragment }, { key: "open" });
    const isOwn = answer !== null && (await this.#isOwn(answer, fragment));
    // Meanwhile the reader may have gone on to another address.
    if (answer !== null && location.hash === hash) this.#opened(answer, isOwn, fragment, before?.changed);
  }

  /**
   * Whether the link is the one that one's own values make.
   * @param {Answer} answer
   * @param {string} fragment
   */
  async #isOwn({ record = {}, marks = {} }, fragment) {
    if (!this.session.matches(record, marks)) return false;
    // Without a list of its own a link can take nothing from one's own. How things stand by a list, the package tells.
    if (!this.session.hasLists(record)) return true;
    const made = await this.client.ask({ ask: "link", record: this.session.ownForLink }, { key: "own link" });
    return made?.fragment === fragment || made?.brief === fragment;
  }

  /**
   * @param {Answer} answer
   * @param {boolean} isOwn
   * @param {string} fragment
   * @param {import("./looked_at.js").LookedAt["changed"]} changed on another page of this tab
   */
  #opened(answer, isOwn, fragment, changed = {}) {
    // What came with a link was seen by someone else: the package says which fields tell so.
    /** @type {Entries} */
    const record = { ...answer.record, ...answer.marks };
    const sentences = (answer.problems ?? []).map((problem) => problem.sentence);
    const notes = [...(answer.notes ?? []), ...sentences];
    const trouble = answer.refused ?? answer.broken;
    if (trouble) notes.push(trouble);
    if (namesOf(record).length === 0) this.#unread(notes);
    else if (isOwn) this.#same(notes);
    else {
      this.#sent = { fragment, record, notes };
      this.#look(record);
      for (const [name, entry] of Object.entries(changed)) this.session.change(name, entry, null);
    }
  }

  /** @param {string[]} notes */
  #unread(notes) {
    forget();
    this.#tell("This link holds no values that can be read. Nothing of yours was changed.", {
      notes,
      choices: [this.#close],
    });
  }

  /** @param {string[]} notes */
  #same(notes) {
    forget();
    if (this.session.store.isStored) this.#dropFragment("replaceState");
    this.session.back();
    if (notes.length === 0) this.banner.hide();
    else this.#tell("The link holds the values that you have already.", { notes, choices: [this.#close] });
  }

  /**
   * @param {Entries} record
   * @param {boolean} focus
   */
  #look(record, focus = false) {
    this.#isChanged = false;
    this.session.look(record);
    this.#ask(focus);
  }

  /**
   * Say what is looked at, and what can be done with it.
   * @param {boolean} focus
   */
  #ask(focus = false) {
    const { record = {}, notes = [] } = this.#sent ?? {};
    const { hasOwn } = this.session;
    const whose = hasOwn ? "; yours are kept. What you change here does not touch yours." : ". None of it is kept yet.";
    const changed = this.#isChanged ? " You have changed something here: this is not all as it was sent." : "";
    this.#tell(`${fromLink(record)}${whose}${changed}`, {
      notes: [...wordsAlong(record), ...notes],
      focus,
      choices: [
        [hasOwn ? "Back to mine" : "Put it away", "link-back", () => this.#back()],
        ["Keep as a bow of mine", "link-shelf", () => (this.session.hasOwn ? this.#shelve() : this.#keep())],
        .../** @type {Choice[]} */ (hasOwn ? [["Use it in place of mine", "link-keep", () => this.#askToReplace()]] : []),
        .../** @type {Choice[]} */ (this.#isChanged ? [["As it was sent", "link-sent", () => this.#look(record, true)]] : []),
      ],
    });
  }

  /** Something of the page's values changed: of a link that is looked at, the tab remembers it. */
  #changed() {
    const { linked } = this.session;
    if (linked === null || this.#sent === null) return;
    const { fragment, record } = this.#sent;
    const names = [...new Set([...namesOf(record), ...namesOf(this.session.forLink)])];
    const changed = names.filter((name) => !sameEntry(record[name], linked[name]));
    remember({ fragment, changed: Object.fromEntries(changed.map((name) => [name, linked[name] ?? null])) });
    if (changed.length > 0 === this.#isChanged) return;
    this.#isChanged = changed.length > 0;
    this.#ask();
  }

  /** By being changed they have become the reader's own. */
  #adopted() {
    this.#kept(`${fromLink(this.#sent?.record ?? {})}. You changed something: now it is kept, as a bow of yours.`);
  }

  /**
   * They are the reader's own now.
   * @param {string} text
   * @param {boolean} focus
   */
  #kept(text, focus = false) {
    const notes = wordsAlong(this.#sent?.record ?? {});
    this.#sent = null;
    forget();
    // Where nothing can be stored, the address is the only place that keeps the values over a reload.
    if (this.session.store.isStored) this.#dropFragment("replaceState");
    this.#tell(text, { notes, focus, choices: [this.#close] });
  }

  #back() {
    // As a step of its own in the history: the browser's Back shows the link's values again.
    this.#dropFragment("pushState");
    this.#own(true);
  }

  /** Keep both: the link's values beside one's own bows. */
  #shelve() {
    const { forLink } = this.session;
    const isThere = [...this.shelf.bows.values()].some((bow) => sameRecord(bow.record, forLink));
    const times = Object.fromEntries(namesOf(forLink).map((name) => [name, Date.now()]));
    const refused = isThere ? null : this.shelf.put(null, forLink, times).refused;
    if (refused !== null) {
      this.#tell(refused, { focus: true, choices: [["Back to mine", "link-back", () => this.#back()]] });
      return;
    }
    this.#dropFragment("pushState");
    this.#leave();
    const where = isThere ? "was saved already" : "is saved, on the page “Card, log, bows”";
    this.#tell(`The link's bow ${where}. These are your own values again.`, { focus: true, choices: [this.#close] });
  }

  #own(focus = false) {
    this.#leave();
    const text = this.session.hasOwn ? "These are your own values again." : "The link is put away. Nothing of it was kept.";
    this.#tell(text, { focus, choices: [this.#close] });
  }

  /** Look at the link no more. */
  #leave() {
    this.#sent = null;
    forget();
    this.session.back();
  }

  #askToReplace() {
    this.#tell("Replace your own values by the ones shown? Undo brings yours back.", {
      focus: true,
      choices: [
        ["Replace mine", "link-replace", () => this.#keep()],
        // What was changed while looking is still there.
        ["Do not replace", "link-cancel", () => this.#ask(true)],
      ],
    });
  }

  #keep() {
    const had = this.session.hasOwn;
    this.session.keep();
    this.#kept(`The link's values are now yours.${had ? " Undo brings back what you had." : ""}`, true);
  }

  /** Leave a link that is being looked at, before all is cleared for instance. */
  leave() {
    if (this.session.linked === null) return;
    this.#dropFragment("pushState");
    this.#leave();
    this.banner.hide();
  }

  /** @returns {Choice} */
  get #close() {
    return ["Close", "close", () => this.banner.hide()];
  }

  /**
   * @param {string} text
   * @param {Parameters<Banner["show"]>[1]} [options]
   */
  #tell(text, options) {
    this.banner.show(text, options);
    this.say(text, "link");
  }

  /** @param {"pushState" | "replaceState"} how */
  #dropFragment(how) {
    if (carriesValues()) history[how](history.state, "", location.pathname + location.search);
  }
}
