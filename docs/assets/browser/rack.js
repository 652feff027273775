// A club's bows as a table: what is known of each, which come first and which are shown, and what is printed of them. The
// package judges every bow; here a row is shown, and asked for again when its bow has changed.

import { SITE } from "./site_paths.js";
import { find, make } from "./dom.js";
import { nameOf } from "./bow.js";
import { download } from "./download.js";
import { parseSanitised } from "./sanitise.js";
import { today } from "./date_input.js";
import { typedOf } from "./entry.js";
import { printAs } from "./print.js";

/** @import { Bow } from "./bow.js" */
/** @import { Client } from "./client.js" */
/** @import { BoltCell, RackRow } from "./reply.js" */
/** @import { Entries, Entry } from "./entry.js" */

// So many bows are asked about at once: the calculator answers other questions in between.
const AT_ONCE = 12;
// ms between two looks of a table that is still being filled.
const SHOW_EVERY = 1000;
// The field that tells what happened to a bow, and the words in it that this page writes.
export const EVENTS = "events";
const WITHDRAWN = "withdrawn";
const RELEASED = "released";
// A6 cards on a sheet of A4.
const CARDS_A_PAGE = 4;
// What the entries are of, a bow or a preset.
export const KEPT_AS = "kept_as";
export const PRESET = "preset";
const NONE = "–";
const LAST = "\uffff";

/** @typedef {{ happened?: unknown, found?: unknown }} Row */

export class Rack {
  /**
   * Rows by their bows' ids, each with the text of the record that it tells of.
   * @type {Map<string, { text: string, row: RackRow | null }>}
   */
  #rows = new Map();
  #isAsking = false;

  /**
   * @param {HTMLElement} section
   * @param {{ client: Client, say: (text: string) => void, bows: () => Bow[], changed: () => void, habits: () => object }} parts
   */
  constructor(section, { client, say, bows, changed, habits }) {
    this.client = client;
    this.say = say;
    this.bows = bows;
    this.changed = changed;
    this.habits = habits;
    this.order = find(section, "[name=rack-order]", HTMLSelectElement);
    this.shown = find(section, "[name=rack-shown]", HTMLSelectElement);
    this.words = find(section, "[name=rack-words]", HTMLInputElement);
    this.sheets = find(section, ".qt-rack-sheets");
    // The units that the site begins with, where it names any.
    this.units = find(document, ".qt-page").dataset.units;
    for (const control of [this.order, this.shown, this.words]) control.addEventListener("input", changed);
  }

  /** The bows that are to be seen, in the order that is chosen. */
  get seen() {
    const words = this.words.value.trim().toLowerCase();
    const which = this.shown.value;
    /** @param {Bow} bow */
    const isSeen = (bow) => {
      const row = this.#rowOf(bow);
      const text = [nameOf(bow.record), row?.about, row?.known, row?.inspected].join(" ").toLowerCase();
      return (which === "" || row?.groups.includes(which) === true) && text.includes(words);
    };
    /** @param {Bow} bow */
    const key = (bow) => {
      const row = this.#rowOf(bow);
      if (this.order.value === "grave") return String(row?.rank ?? LAST);
      if (this.order.value === "due") return row?.due === "now" ? "" : row?.due || LAST;
      return "";
    };
    /** @param {Bow} bow */
    const name = (bow) => nameOf(bow.record) || LAST;
    return this.bows()
      .filter(isSeen)
      .sort((one, other) => key(one).localeCompare(key(other)) || name(one).localeCompare(name(other), "en", { numeric: true }));
  }

  /** Those of them that are bows: of a preset there is no card. */
  get seenBows() {
    return this.seen.filter((bow) => !this.#isPreset(bow));
  }

  /** In words, how many of all are to be seen. */
  get count() {
    const [seen, all] = [this.seen.length, this.bows().length];
    return seen === all ? ` (${all})` : ` (${seen} of ${all})`;
  }

  /**
   * The row of a bow, with the card that names it and what can be done with it.
   * @param {Bow} bow
   * @param {HTMLElement} card
   * @param {boolean} isOpen
   */
  row(bow, card, isOpen) {
    const row = this.#rowOf(bow);
    const state = make("strong", { className: `qt-rack-state qt-rack-state--${row?.state ?? "none"}`, text: row?.known ?? "…" });
    const more = (row?.more ?? []).map((text) => make("span", { className: "qt-rack-more", text }));
    if (isOpen) card.querySelector("h3")?.append(make("span", { className: "qt-rack-open", text: "open" }));
    const cells = [
      cell("What is known", [state, ...more]),
      cell("Upper bolt", bolt(row?.upper)),
      cell("Lower bolt", bolt(row?.lower)),
      cell("Looked over", [row?.inspected || NONE]),
      cell("Again by", [row?.due === "now" ? make("strong", { text: "now" }) : row?.due || NONE]),
    ];
    return make("tr", {}, [make("th", { scope: "row" }, [card]), ...cells]);
  }

  /**
   * What can be done with a bow beside what can be everywhere.
   * @param {Bow} bow
   * @returns {[string, string][]}
   */
  acts(bow) {
    const { record } = bow;
    /** @type {[string, string]} */
    const link = ["Link to its measures", "preset-link"];
    if (this.#isPreset(bow)) return [["Start a bow from it", "start"], ["Fill the open bow", "fill"], link];
    /** @type {[string, string]} */
    const use = rowsOf(record[EVENTS]).some(isWithdrawn) ? ["Release for use", "release"] : ["Take out of use", "withdraw"];
    return [use, ["Print a tag", "tag"], ["Save as a preset", "preset"], link];
  }

  /**
   * What tells a bow from others, in a line.
   * @param {Bow} bow
   */
  about(bow) {
    return this.#rowOf(bow)?.about ?? "";
  }

  /** Ask for every row that is not there, or tells of an earlier state of its bow. */
  async refresh() {
    if (this.#isAsking || this.#old.length === 0) return;
    this.#isAsking = true;
    let shown = 0;
    try {
      for (let old = this.#old; old.length > 0; old = this.#old) {
        await this.#ask(old.slice(0, AT_ONCE));
        // The table is made anew each time: of 500 bows that takes as long as asking about some.
        if (Date.now() - shown > SHOW_EVERY) {
          this.changed();
          shown = Date.now();
        }
      }
    } finally {
      this.#isAsking = false;
    }
    this.changed();
  }

  /**
   * Print the cards or tags of some bows, or the notice.
   * @param {"cards" | "tags" | "notice"} what
   * @param {Bow[]} bows
   */
  async print(what, bows) {
    if (what !== "notice" && bows.length === 0) {
      this.say("No bow is shown, so there is nothing to print.");
      return;
    }
    const answer = await this.client.ask({ ask: "rack_print", what, address: SITE.href, ...this.#request(bows) }, { key: "print" });
    if (answer === null) return;
    if (!answer.sheets) {
      this.say(answer.refused ?? answer.broken ?? "Nothing could be printed.");
      return;
    }
    const sheets = answer.sheets.map((html) => make("div", { className: "qt-rack-sheet" }, [parseSanitised(html)]));
    const each = what === "cards" ? CARDS_A_PAGE : 1;
    const pages = Array.from({ length: Math.ceil(sheets.length / each) }, (_, page) => sheets.slice(page * each).slice(0, each));
    this.sheets.replaceChildren(...pages.map((some) => make("div", { className: "qt-rack-page" }, some)));
    this.sheets.dataset.what = what;
    printAs("rack");
  }

  /** Save all bows as a table. */
  async saveTable() {
    const bows = this.bows();
    const answer = await this.client.ask({ ask: "rack_csv", ...this.#request(bows) }, { key: "csv" });
    if (answer === null) return;
    const { name, text } = answer;
    if (name === undefined || text === undefined) {
      this.say(answer.refused ?? answer.broken ?? "The table could not be made.");
      return;
    }
    download(name, text, "text/csv;charset=utf-8");
    this.say(`${bows.length === 1 ? "1 bow is" : `${bows.length} bows are`} saved as ${name}. Logs and events are in no table: save the bows to a file too.`);
  }

  /**
   * What a preset, or the measures of a bow, give to another: the entries for what is empty there, and a sentence for each
   * that differs. Null where nothing could be had; that is said.
   * @param {Bow} preset
   * @param {Entries} into
   */
  async measures({ record }, into) {
    const answer = await this.client.ask({ ask: "preset", record, bow: into }, { key: "preset" });
    if (answer?.record) return { record: answer.record, notes: answer.notes ?? [] };
    this.say(answer?.refused ?? answer?.broken ?? "The measures could not be read.");
    return null;
  }

  /** @param {Bow} bow */
  #rowOf(bow) {
    return this.#rows.get(bow.id)?.row ?? null;
  }

  /**
   * Whether it is a preset and no bow: the package says so, for what is known against a bow comes before that.
   * @param {Bow} bow
   */
  #isPreset(bow) {
    return this.#rowOf(bow)?.groups.includes(PRESET) === true;
  }

  get #old() {
    return this.bows().filter((bow) => this.#rows.get(bow.id)?.text !== this.#textOf(bow));
  }

  /** @param {Bow} bow */
  #textOf({ record }) {
    return JSON.stringify([record, this.habits(), today()]);
  }

  /** @param {Bow[]} bows */
  async #ask(bows) {
    const texts = bows.map((bow) => this.#textOf(bow));
    const answer = await this.client.ask({ ask: "rack", ...this.#request(bows) });
    const rows = new Map((answer?.rows ?? []).map((row) => [row.id, row]));
    bows.forEach(({ id }, place) => this.#rows.set(id, { text: texts[place], row: rows.get(id) ?? null }));
  }

  /** @param {Bow[]} bows */
  #request(bows) {
    const habits = this.habits();
    const asked = bows.map(({ id, record }) => ({ id, record: { ...record, ...habits } }));
    return { bows: asked, today: today(), units: this.units };
  }
}

/**
 * The rows of the field with one more: the bow is out of use from today.
 * @param {Entry | undefined} entry
 * @returns {unknown[]}
 */
export function withdrawn(entry) {
  return [...rowsOf(entry), { date: today(), happened: WITHDRAWN }];
}

/**
 * The rows of the field in which every bow that was taken out of use is released today.
 * @param {Entry | undefined} entry
 * @returns {unknown[]}
 */
export function released(entry) {
  return rowsOf(entry).map((row) => (isWithdrawn(row) ? { ...row, found: RELEASED, found_on: today() } : row));
}

/**
 * @param {Entry | undefined} entry
 * @returns {Row[]}
 */
function rowsOf(entry) {
  return Array.isArray(entry) ? /** @type {Row[]} */ (entry) : [];
}

/** @param {Row} row */
function isWithdrawn({ happened, found }) {
  return typedOf(happened) === WITHDRAWN && typedOf(found) !== RELEASED;
}

/** @param {BoltCell | undefined} told */
function bolt(told) {
  const parts = [told?.window, told?.place].filter((text) => text !== undefined && text !== "");
  return parts.length > 0 ? parts.map((text) => make("span", { className: "qt-rack-more", text })) : [NONE];
}

/**
 * @param {string} label
 * @param {(Node | string)[]} content
 */
function cell(label, content) {
  const element = make("td", { className: content[0] === NONE ? "qt-rack-none" : "" }, [make("span", { className: "qt-rack-value" }, content)]);
  element.dataset.label = label;
  return element;
}
