// Values that came with the address. They never replace the reader's own without asking: they are looked at first,
// and one's own are one press away.

import { dayOf, nameOf, sameRecord } from "./bow.js";
import { namesOf, typedOf } from "./entry.js";

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
  /** @param {LinkParts} parts */
  constructor({ banner, session, shelf, client, say }) {
    this.banner = banner;
    this.session = session;
    this.shelf = shelf;
    this.client = client;
    this.say = say;
    window.addEventListener("hashchange", () => this.open());
  }

  /** Take up the address: at the start, and whenever its fragment changes. */
  async open() {
    const { hash } = location;
    if (!carriesValues()) {
      // Gone back to the bare page. A heading's fragment is only a place on it, and changes no values.
      if (hash === "" && this.session.linked) this.#own();
      return;
    }
    this.#tell("Opening the link's values …");
    const answer = await this.client.ask({ ask: "open", fragment: hash.slice(1) }, { key: "open" });
    const isOwn = answer !== null && (await this.#isOwn(answer, hash.slice(1)));
    // Meanwhile the reader may have gone on to another address.
    if (answer !== null && location.hash === hash) this.#opened(answer, isOwn);
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
   */
  #opened(answer, isOwn) {
    // What came with a link was seen by someone else: the package says which fields tell so.
    /** @type {Entries} */
    const record = { ...answer.record, ...answer.marks };
    const sentences = (answer.problems ?? []).map((problem) => problem.sentence);
    const notes = [...(answer.notes ?? []), ...sentences];
    const trouble = answer.refused ?? answer.broken;
    if (trouble) notes.push(trouble);
    if (namesOf(record).length === 0) this.#unread(notes);
    else if (isOwn) this.#same(notes);
    else if (this.session.hasOwn) this.#look(record, notes);
    else this.#take(record, notes);
  }

  /** @param {string[]} notes */
  #unread(notes) {
    this.#tell("This link holds no values that can be read. Nothing of yours was changed.", {
      notes,
      choices: [this.#close],
    });
  }

  /** @param {string[]} notes */
  #same(notes) {
    if (this.session.store.isStored) this.#dropFragment("replaceState");
    this.session.back();
    if (notes.length === 0) this.banner.hide();
    else this.#tell("The link holds the values that you have already.", { notes, choices: [this.#close] });
  }

  /**
   * The reader has nothing of their own that could be lost: the link's values become theirs.
   * @param {Entries} record
   * @param {string[]} notes
   */
  #take(record, notes) {
    this.session.look(record);
    this.session.keep();
    // Where nothing can be stored, the address is the only place that keeps the values over a reload.
    if (this.session.store.isStored) this.#dropFragment("replaceState");
    this.#tell(`${fromLink(record)}. You had none of your own here, so they are used as yours.`, {
      notes: [...wordsAlong(record), ...notes],
      choices: [this.#close],
    });
  }

  /**
   * @param {Entries} record
   * @param {string[]} notes
   */
  #look(record, notes, focus = false) {
    this.session.look(record);
    this.#tell(`${fromLink(record)}; yours are kept. What you change here does not touch yours.`, {
      notes: [...wordsAlong(record), ...notes],
      focus,
      choices: [
        ["Back to mine", "link-back", () => this.#back()],
        ["Keep these values", "link-keep", () => this.#ask(record, notes)],
        ["Save it beside mine", "link-shelf", () => this.#shelve()],
      ],
    });
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
    this.session.back();
    const where = isThere ? "was saved already" : "is saved, on the page “Card, log, bows”";
    this.#tell(`The link's bow ${where}. These are your own values again.`, { focus: true, choices: [this.#close] });
  }

  #own(focus = false) {
    this.session.back();
    this.#tell("These are your own values again.", { focus, choices: [this.#close] });
  }

  /**
   * @param {Entries} record
   * @param {string[]} notes
   */
  #ask(record, notes) {
    this.#tell("Replace your own values by the ones shown? Undo brings yours back.", {
      focus: true,
      choices: [
        ["Replace mine", "link-replace", () => this.#keep()],
        // What was changed while looking is still there.
        ["Do not replace", "link-cancel", () => this.#look({ ...this.session.linked ?? record }, notes, true)],
      ],
    });
  }

  #keep() {
    this.session.keep();
    this.#dropFragment("replaceState");
    this.#tell("The link's values are now yours. Undo brings back what you had.", { focus: true, choices: [this.#close] });
  }

  /** Leave a link that is being looked at, before all is cleared for instance. */
  leave() {
    if (this.session.linked === null) return;
    this.#dropFragment("pushState");
    this.session.back();
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
