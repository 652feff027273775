// A file of bows is read: looked at first, and taken in where the reader says so. Nothing of theirs changes before.

import { bowOf } from "./shelf.js";
import { namesOf } from "./entry.js";
import { readFile } from "./bow_file.js";
import { importBows } from "./import_bows.js";

/** @import { Answer } from "./reply.js" */
/** @import { Banner } from "./banner.js" */
/** @import { Bow, RowLimits } from "./bow.js" */
/** @import { Choice } from "./dom.js" */
/** @import { Client } from "./client.js" */
/** @import { ImportedBow, News } from "./import_bows.js" */
/** @import { Times } from "./entry.js" */

/**
 * What a file may hold, and the labels of fields.
 * @typedef {{ version: number, mostBytes: number, longestName: number, lists: RowLimits }} ImportLimits
 * @typedef {ImportLimits & { labels: { [name: string]: string } }} ImportRules
 */

/**
 * What a file is read with.
 * @typedef {object} FileImportParts
 * @property {ImportRules} about
 * @property {Banner} banner
 * @property {Client} client
 * @property {(text: string) => void} say
 * @property {() => Map<string, Bow>} bows
 * @property {<T>(entries: { [name: string]: T }) => { [name: string]: T }} ofBow
 * @property {(changes: Map<string, Bow>, words: string) => string | null} put
 */

// So many fields are named of a bow, and no more.
const MOST_NAMES = 8;
const NOTHING = "Nothing of yours was changed.";
const WHY_APART = {
  list: "a list would be too long",
  kind: "their bolts are of two kinds, and what was read of one kind is not true of the other",
};

export class FileImport {
  /**
   * `bows()` gives those that are here, by id; `ofBow(entries)` leaves what is of a bow; `put(changes, words)` changes the
   * shelf, or gives a sentence why not.
   * @param {FileImportParts} parts
   */
  constructor({ about, banner, client, say, bows, ofBow, put }) {
    this.about = about;
    this.banner = banner;
    this.client = client;
    this.say = say;
    this.bows = bows;
    this.ofBow = ofBow;
    this.put = put;
  }

  /**
   * A file was chosen.
   * @param {File} file
   */
  async read(file) {
    const { text, refused } = await readFile(file, this.about.mostBytes);
    if (refused) {
      this.#tell(`${refused} ${NOTHING}`);
      return;
    }
    this.#tell(`Reading “${file.name}” …`, { choices: [] });
    const answer = await this.client.ask({ ask: "file", text }, { key: "file" });
    // Another file was chosen meanwhile.
    if (answer === null) return;
    const trouble = answer.refused ?? answer.broken ?? answer.problems?.[0]?.sentence;
    if (trouble === undefined) this.#offer(file.name, answer);
    else this.#tell(`${trouble} ${NOTHING}`);
  }

  /**
   * @param {string} name
   * @param {Answer} answer
   */
  #offer(name, { bows = [], notes = [] }) {
    const now = Date.now();
    /**
     * A clock that goes wrong elsewhere must not win for ever.
     * @param {Times} times
     */
    const past = (times) =>
      Object.fromEntries(Object.entries(this.ofBow(times)).map(([field, time]) => [field, Math.min(time, now)]));
    const version = this.about.version;
    const theirs = bows
      .map(({ id, record, times, marks, marked_by: markedBy }) => ({
        ...bowOf({ id, record: { version, ...this.ofBow(record) }, times: past(times) }),
        marks,
        markedBy,
      }))
      .filter(({ record }) => namesOf(record).length > 0);
    const both = this.#taken(theirs, false);
    const told = both.news.map((one) => this.#words(one));
    const differs = both.news.some(({ kind }) => kind === "merged" || kind === "older");
    const isApart = both.news.some(({ kind }) => kind === "apart");
    const isNew = both.news.some(({ kind }) => kind === "new");
    /** @param {boolean} apart */
    const take = (apart) => () => this.#take(name, theirs, apart);
    /** @type {Choice[]} */
    const choices = [];
    if (differs) {
      choices.push(["Make them one: the later entry counts", "merge", take(false)], ["Keep both", "apart", take(true)]);
    } else if (isApart) choices.push(["Keep both", "apart", take(true)]);
    else if (isNew) choices.push(["Save what is new", "take-in", take(false)]);
    choices.push(choices.length > 0 ? ["Leave the file", "leave-file", () => this.#leave()] : this.#close);
    const many = theirs.length === 1 ? "1 bow" : `${theirs.length} bows`;
    const end = choices.length > 1 ? "Nothing of yours is changed yet." : "There is nothing in it that you have not.";
    this.#tell(`“${name}” holds ${many}. ${end}`, { notes: [...told, ...notes], choices });
  }

  /**
   * @param {ImportedBow[]} bows
   * @param {boolean} apart
   */
  #taken(bows, apart) {
    const { lists, longestName: most } = this.about;
    return importBows(this.bows(), bows, { apart, lists, most });
  }

  /**
   * What was here may have changed since it was offered: it is worked out anew.
   * @param {string} name
   * @param {ImportedBow[]} theirs
   * @param {boolean} apart
   */
  #take(name, theirs, apart) {
    const { changes, news } = this.#taken(theirs, apart);
    const refused = this.put(changes, `the reading of “${name}”`);
    const done = news.map((one) => this.#words(one, true));
    if (refused !== null) this.#tell(`${refused} ${NOTHING}`);
    else this.#tell(`“${name}” was read. Undo takes it back.`, { notes: done });
  }

  #leave() {
    this.#tell(`The file is left. ${NOTHING}`);
  }

  /**
   * A sentence about one bow of the file, before or after it was taken in.
   * @param {News} news
   */
  #words({ kind, name, came = [], stayed = [], why }, isDone = false) {
    const bow = `“${name || "unnamed"}”`;
    const kept = stayed.length > 0 ? ` Yours ${isDone ? "stayed" : "is not older"}: ${this.#labels(stayed)}.` : "";
    switch (kind) {
      case "new":
        return `${bow} ${isDone ? "is saved" : "is not here yet"}.`;
      case "same":
        return `${bow} is here already, and says the same.`;
      case "merged":
        return `${bow} is here already. ${isDone ? "Came from the file" : "Newer in the file"}: ${this.#labels(came)}.${kept}`;
      case "older":
        return `${bow} is here already, and nothing of it is newer in the file.${kept}`;
      default:
        return isDone
          ? `${bow} is saved beside yours.`
          : `${bow} is here already, and the two cannot be made one: ${WHY_APART[why ?? "list"]}. Both are kept.`;
    }
  }

  /** @param {string[]} names */
  #labels(names) {
    const labels = names.slice(0, MOST_NAMES).map((name) => this.about.labels[name] ?? name);
    const more = names.length - labels.length;
    return labels.join("; ") + (more > 0 ? `; and ${more} more` : "");
  }

  /** @returns {Choice} */
  get #close() {
    return ["Close", "close", () => this.banner.hide()];
  }

  /**
   * @param {string} text
   * @param {{ notes?: string[], choices?: Choice[] }} more
   */
  #tell(text, { notes = [], choices = [this.#close] } = {}) {
    this.banner.show(text, { notes, choices, focus: true });
    this.say(text);
  }
}
