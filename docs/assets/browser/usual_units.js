// The unit of a box in which nothing stands: the reader's own. Whoever chooses inches once does not choose them in every
// box. What was typed keeps the unit that it was typed in.

import { typedOf, unitOf } from "./entry.js";

/** @import { Entries } from "./entry.js" */

/**
 * A menu of units and the box, or the column of boxes, that it belongs to.
 * @typedef {object} UnitMenu
 * @property {HTMLSelectElement} menu
 * @property {() => boolean} isEmpty whether nothing stands there
 * @property {() => void} changed told when the menu shows another unit
 */

export class UsualUnits {
  /**
   * By kind of menu, the unit that the reader chose last on this page.
   * @type {Map<string, string>}
   */
  #chosen = new Map();
  /**
   * Menus in which the reader chose: they stay as they are.
   * @type {Set<HTMLSelectElement>}
   */
  #settled = new Set();

  /**
   * `names` are the fields of each kind, this page's and others'.
   * @param {UnitMenu[]} menus
   * @param {{ [kind: string]: string[] | undefined }} names
   */
  constructor(menus, names) {
    this.menus = menus.map((one) => ({ ...one, kind: kindOf(one.menu), first: one.menu.value }));
    this.names = names;
  }

  /**
   * The reader operated a control; where that is a menu of units, boxes of its kind without an entry go with it.
   * @param {EventTarget | null} target
   * @param {Entries} record
   */
  touched(target, record) {
    const one = this.menus.find(({ menu }) => menu === target);
    if (!one) return;
    this.#chosen.set(one.kind, one.menu.value);
    this.#settled.add(one.menu);
    this.follow(record);
  }

  /**
   * Show the usual unit wherever nothing stands. A box that the reader is in stays as it is.
   * @param {Entries} record
   */
  follow(record) {
    for (const one of this.menus) {
      const { menu } = one;
      if (this.#settled.has(menu) || !one.isEmpty() || menu.closest(".qt-field")?.contains(document.activeElement)) continue;
      const unit = this.#usual(one.kind, record, menu.dataset.usual) ?? one.first;
      if (menu.value === unit) continue;
      menu.value = unit;
      one.changed();
    }
  }

  /**
   * Chosen last on this page, else by the setting for all pages, else that of most entries; null for none.
   * @param {string} kind
   * @param {Entries} record
   * @param {string | undefined} setting
   */
  #usual(kind, record, setting) {
    const found = this.#chosen.get(kind) ?? (typedOf(record[setting ?? ""]) || this.#mostTyped(kind, record));
    return found !== null && kind.split(" ").includes(found) ? found : null;
  }

  /**
   * The unit of more than half of the entries, as the package counts (record/values.py); null where there is none.
   * @param {string} kind
   * @param {Entries} record
   */
  #mostTyped(kind, record) {
    const entries = (this.names[kind] ?? []).map((name) => record[name]).filter((entry) => typedOf(entry).trim() !== "");
    const units = entries.map(unitOf);
    return units.find((one) => 2 * units.filter((other) => other === one).length > units.length) ?? null;
  }
}

/**
 * Menus that offer the same units in the same order are of one kind: a draw length, in inches first, is not a length.
 * @param {HTMLSelectElement} menu
 */
function kindOf(menu) {
  return [...menu.options].map(({ value }) => value).join(" ");
}
