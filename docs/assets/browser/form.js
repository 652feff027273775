// All boxes of a page and the flat record: what changed goes out as one entry, what is known comes in as a record.
// The record, not the form, is the truth: a form shows only some of its fields and reads back only the one changed.

import { InputField, RadioField } from "./form_fields.js";
import { ListField } from "./list_field.js";
import { afterClick } from "./after_click.js";
import { applyConditions } from "./conditions.js";
import { UsualUnits } from "./usual_units.js";
import { closestTo, findAll } from "./dom.js";
import { placeOf, sameEntry } from "./entry.js";

/** @import { Entries, Entry, Place } from "./entry.js" */
/** @import { Problem } from "./reply.js" */

/** @typedef {InputField | RadioField | ListField} FormField */

/**
 * Hears of a change by the reader: the entry, null for none, the one before it, and whether it is to be remembered for
 * "Undo". Returns whether it can be undone.
 * @typedef {(name: string, entry: Entry | null, how: { remember?: boolean, base: Entry | null }) => boolean} Changed
 */

/**
 * The field for an element with data-field.
 * @param {HTMLElement} element
 * @returns {FormField}
 */
function makeField(element) {
  if (element.dataset.kind === "list") return new ListField(element);
  return element.querySelector("input[type=radio]") ? new RadioField(element) : new InputField(element);
}

/**
 * The fields that offer the same units, by these, from data-same-units.
 * @param {HTMLElement} element
 * @returns {{ [kind: string]: string[] | undefined }}
 */
function sameUnits(element) {
  return JSON.parse(element.dataset.sameUnits ?? "{}");
}

export class Form {
  /**
   * `changed(name, entry, {base, remember})` hears every change by the reader, after `base`, and returns whether it can be
   * undone; `left(name)` hears when a field was left; `say(text)` speaks a line.
   * @param {HTMLElement} element
   * @param {{ changed: Changed, left: (name: string) => void, say: (text: string) => void }} parts
   */
  constructor(element, { changed, left, say }) {
    this.element = element;
    /** @type {Map<string, FormField>} */
    this.fields = new Map();
    for (const part of findAll(element, ".qt-field")) {
      const field = makeField(part);
      this.fields.set(field.name, field);
    }
    this.usualUnits = new UsualUnits([...this.fields.values()].flatMap((field) => field.unitMenus), sameUnits(element));
    /** @type {Entries} */
    this.record = {};
    /**
     * Fields that show something older, because the reader is in them.
     * @type {Set<string>}
     */
    this.behind = new Set();
    /**
     * The sentence at a field, by its name.
     * @type {Map<string, string>}
     */
    this.problems = new Map();
    element.addEventListener("submit", (event) => event.preventDefault());
    // "input" covers keys, the slider, and radio buttons; "change" covers the unit menu everywhere.
    for (const kind of ["input", "change"]) {
      element.addEventListener(kind, (event) => this.#changed(event.target, changed));
    }
    element.addEventListener("click", (event) => {
      const pressed = closestTo(event, "[data-act]");
      if (pressed?.dataset.act === "unchoose") this.#unchoose(pressed, changed);
      if (pressed?.dataset.act?.endsWith("-row")) this.#rows(pressed, { changed, say });
    });
    element.addEventListener("focusout", (event) => {
      const field = this.#fieldOf(event.target);
      // From box to box of one field is not out of it.
      const next = event.relatedTarget instanceof Node ? event.relatedTarget : null;
      if (field && !field.element.contains(next)) afterClick(() => this.#left(field, left));
    });
  }

  /** What stands in the form, typed perhaps before this module arrived. */
  read() {
    /** @type {Entries} */
    const entries = {};
    for (const field of this.fields.values()) {
      const entry = field.read();
      if (entry !== null) entries[field.name] = entry;
    }
    return entries;
  }

  /**
   * Write a record into the form; with `names` only those fields, so that others are not disturbed. With `keepsEdited` a
   * field that the reader is in is written when they leave it.
   * @param {Entries} record
   * @param {Set<string> | null} names
   */
  write(record, names = null, { keepsEdited = false } = {}) {
    this.record = record;
    for (const field of this.fields.values()) {
      if (names !== null && !names.has(field.name)) continue;
      if (keepsEdited && field.edited) this.behind.add(field.name);
      else this.#write(field);
    }
    this.usualUnits.follow(record);
    this.#show();
  }

  /** @param {FormField} field */
  #write(field) {
    this.behind.delete(field.name);
    field.write(this.record[field.name] ?? null);
    field.base = field.read();
  }

  /**
   * @param {FormField} field
   * @param {(name: string) => void} left
   */
  #left(field, left) {
    // They may be back already.
    if (field.edited) return;
    left(field.name);
    if (this.behind.has(field.name)) this.#write(field);
  }

  /**
   * The fields that the reader is in, by name, with what they show.
   * @returns {Map<string, Entry | null>}
   */
  get edited() {
    const fields = [...this.fields.values()].filter((field) => field.edited);
    return new Map(fields.map((field) => [field.name, field.read()]));
  }

  /**
   * Put each problem's sentence at its field and take all others away.
   * @param {Problem[]} problems
   */
  complain(problems) {
    this.problems = new Map();
    const places = problems.map(({ field }) => placeOf(field));
    for (const [index, { name }] of places.entries()) {
      const { sentence } = problems[index];
      const before = this.problems.get(name);
      this.problems.set(name, before ? `${before} ${sentence}` : sentence);
    }
    for (const field of this.fields.values()) {
      field.complain(this.problems.get(field.name) ?? null, places.filter(({ name }) => name === field.name));
    }
    this.#show();
  }

  /**
   * @param {EventTarget | null} target
   * @returns {FormField | null}
   */
  #fieldOf(target) {
    const part = target instanceof Element ? target.closest(".qt-field") : null;
    return [...this.fields.values()].find((field) => field.element === part) ?? null;
  }

  /**
   * @param {EventTarget | null} target
   * @param {Changed} changed
   */
  #changed(target, changed) {
    const field = this.#fieldOf(target);
    if (!field) return;
    field.touched(target, this.record);
    this.usualUnits.touched(target, this.record);
    this.#tell(field, changed);
  }

  /**
   * What a field shows is told once: a browser says once more that a box was changed when it is left, perhaps long after.
   * @param {FormField} field
   * @param {Changed} changed
   * @param {{ remember?: boolean }} how
   */
  #tell(field, changed, how = {}) {
    const { base } = field;
    field.base = field.read();
    return !sameEntry(base, field.base) && changed(field.name, field.base, { ...how, base });
  }

  /**
   * @param {HTMLElement} target
   * @param {Changed} changed
   */
  #unchoose(target, changed) {
    const field = this.#fieldOf(target);
    if (!(field instanceof RadioField)) return;
    field.unchoose();
    this.#tell(field, changed);
  }

  /**
   * A row of a list comes or goes. What goes by one press can be had back.
   * @param {HTMLElement} button
   * @param {{ changed: Changed, say: (text: string) => void }} parts
   */
  #rows(button, { changed, say }) {
    const field = this.#fieldOf(button);
    if (!(field instanceof ListField)) return;
    const { said, took } = field.press(button);
    const undoes = this.#tell(field, changed, { remember: took });
    say(undoes ? `${said} Undo brings it back.` : said);
  }

  #show() {
    // A part with a sentence at one of its fields stays in sight: a problem that cannot be seen cannot be mended.
    // So does the part the reader is in.
    /** @param {HTMLElement} element */
    const needed = (element) =>
      element.contains(document.activeElement) ||
      [...this.fields.values()].some(
        (field) =>
          (this.problems.has(field.name) && (element === field.element || element.contains(field.element))) ||
          (field instanceof ListField && field.holds(element)),
      );
    applyConditions(this.element, this.record, needed);
  }
}
