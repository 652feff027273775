// What a club does with a bow of its rack, and with a preset: take it out of use, release it, start another from it, print.

import { EVENTS, KEPT_AS, PRESET, released, withdrawn } from "./rack.js";
import { called, freeName, nameOf, newId, withEntry } from "./bow.js";
import { namesOf } from "./entry.js";

/** @import { Banner } from "./banner.js" */
/** @import { Bow, RowLimits } from "./bow.js" */
/** @import { Entries, Entry } from "./entry.js" */
/** @import { Rack } from "./rack.js" */

/**
 * `bows()` gives all bows and `bench()` the open one; `putBench()` saves that as it is now, and tells whether it is safe;
 * `change(changes, words)` changes bows, or gives a sentence why not; `share(record)` makes a link.
 * @typedef {object} RackActParts
 * @property {Rack} rack
 * @property {{ lists: RowLimits, longestName: number }} about
 * @property {Banner} banner
 * @property {number} version
 * @property {(text: string) => void} tell
 * @property {() => Bow[]} bows
 * @property {() => Bow | null} bench
 * @property {() => boolean} putBench
 * @property {(changes: Map<string, Bow | null>, words: string) => string | null} change
 * @property {(record: Entries) => void} share
 */

export class RackActs {
  /** @param {RackActParts} parts */
  constructor(parts) {
    this.parts = parts;
  }

  /**
   * What the buttons of a row and of the rack do, by their names.
   * @param {string} id
   * @returns {{ [act: string]: () => unknown }}
   */
  of(id) {
    const { rack, bows } = this.parts;
    const bow = bows().find((one) => one.id === id);
    /** @type {{ [act: string]: () => unknown }} */
    const ofAll = {
      cards: () => rack.print("cards", rack.seenBows),
      notice: () => rack.print("notice", []),
      "save-table": () => rack.saveTable(),
    };
    if (!bow) return ofAll;
    return {
      ...ofAll,
      withdraw: () => this.#note(bow, withdrawn, "is out of use: no page says that it may be strung"),
      release: () => this.#note(bow, released, "is released. Undo takes that back"),
      tag: () => rack.print("tags", [bow]),
      preset: () => this.#startFrom(bow, PRESET),
      start: () => this.#startFrom(bow, null),
      fill: () => this.#fill(bow),
      "preset-link": () => this.#linkMeasures(bow),
    };
  }

  /**
   * Write down that a bow is taken out of use, or released.
   * @param {Bow} row
   * @param {(entry: Entry | undefined) => unknown[]} rowsFrom
   * @param {string} words
   */
  #note(row, rowsFrom, words) {
    const { about, bench, putBench, change, tell } = this.parts;
    const isOpen = bench()?.id === row.id;
    if (!putBench()) return;
    // The open bow may have got its id only now.
    const bow = (isOpen ? bench() : null) ?? row;
    const rows = rowsFrom(bow.record[EVENTS]);
    const most = about.lists[EVENTS] ?? Infinity;
    if (rows.length > most) {
      tell(`What happened to ${called(bow)} has ${most} lines already, and there can be no more. Delete an old one first.`);
      return;
    }
    const noted = withEntry(bow, EVENTS, rows, Date.now());
    if (change(new Map([[noted.id, noted]]), `what was written of ${called(bow)}`) === null) tell(`${called(bow)} ${words}.`);
  }

  /**
   * A new bow, or a preset, with the measures of this one; it is saved beside the others.
   * @param {Bow} from
   * @param {string | null} keptAs
   */
  async #startFrom(from, keptAs) {
    const { rack, about, version, bows, change, tell } = this.parts;
    const given = await rack.measures(from, {});
    if (!given) return;
    if (namesOf(given.record).length === 0) {
      tell(`${called(from)} has no measures yet: they are entered under Find the safe range.`);
      return;
    }
    const names = bows().map(({ record }) => nameOf(record));
    const name = freeName(`${keptAs ? "Preset" : "Bow"} ${nameOf(from.record)}`.trim(), names, about.longestName);
    /** @type {Entries} */
    const record = { ...given.record, version, bow_name: { typed: name } };
    if (keptAs) record[KEPT_AS] = keptAs;
    const times = Object.fromEntries(namesOf(record).map((one) => [one, Date.now()]));
    const bow = { id: newId(), record, times };
    if (change(new Map([[bow.id, bow]]), `the saving of ${called(bow)}`) === null) tell(`${called(bow)} is saved.`);
  }

  /**
   * Fill what is empty of the open bow; what it has otherwise stays, and is named.
   * @param {Bow} preset
   */
  async #fill(preset) {
    const { rack, banner, bench, putBench, change, tell } = this.parts;
    const before = bench();
    if (!before || before.id === preset.id) {
      tell("Open the bow first that is to be filled from the preset.");
      return;
    }
    const given = await rack.measures(preset, before.record);
    const open = given && putBench() ? bench() : null;
    if (!given || !open) return;
    // What was entered meanwhile stays.
    const names = namesOf(given.record).filter((name) => !(name in open.record));
    const filled = names.reduce((bow, name) => withEntry(bow, name, given.record[name], Date.now()), open);
    if (names.length > 0 && change(new Map([[filled.id, filled]]), `the filling of ${called(open)}`) !== null) return;
    const many = names.length === 1 ? "1 measure" : `${names.length} measures`;
    const told = `${called(open)} got ${many} from ${called(preset)}.`;
    banner.show(told, { notes: given.notes, choices: [["Close", "close", () => banner.hide()]], focus: true });
    tell([told, ...given.notes].join(" "));
  }

  /** @param {Bow} bow */
  async #linkMeasures(bow) {
    const given = await this.parts.rack.measures(bow, {});
    if (given) this.parts.share(given.record);
  }
}
