// A form and the flat record: what changed goes out as one entry, what is known comes in as a record.
// The record, not the form, is the truth: a form shows only some of its fields and reads back only the one changed.

import { InputField, RadioField } from "./form_fields.js";
import { ListField } from "./list_field.js";
import { afterClick } from "./after_click.js";
import { applyConditions } from "./conditions.js";
import { placeOf, sameEntry } from "./entry.js";

/** The field for an element with data-field. */
function makeField(element) {
  if (element.dataset.kind === "list") return new ListField(element);
  return element.querySelector("input[type=radio]") ? new RadioField(element) : new InputField(element);
}

export class Form {
  /**
   * `changed(name, entry, {base, remember})` hears every change by the reader, after `base`, and returns whether it can be
   * undone; `left(name)` hears when a field was left; `say(text)` speaks a line.
   */
  constructor(element, { changed, left = () => {}, say = () => {} }) {
    this.element = element;
    this.fields = new Map();
    for (const part of element.querySelectorAll(".qt-field")) {
      const field = makeField(part);
      this.fields.set(field.name, field);
    }
    this.record = {};
    // Fields that show something older, because the reader is in them.
    this.behind = new Set();
    this.problems = new Map();
    // The browser would otherwise put old values back after a reload, as if they had been typed now.
    element.autocomplete = "off";
    element.addEventListener("submit", (event) => event.preventDefault());
    // "input" covers keys, the slider, and radio buttons; "change" covers the unit menu everywhere.
    for (const kind of ["input", "change"]) {
      element.addEventListener(kind, (event) => this.#changed(event.target, changed));
    }
    element.addEventListener("click", (event) => {
      const pressed = event.target.closest("[data-act]");
      if (pressed?.dataset.act === "unchoose") this.#unchoose(pressed, changed);
      if (pressed?.dataset.act.endsWith("-row")) this.#rows(pressed, { changed, say });
    });
    element.addEventListener("focusout", (event) => {
      const field = this.#fieldOf(event.target);
      // From box to box of one field is not out of it.
      if (field && !field.element.contains(event.relatedTarget)) afterClick(() => this.#left(field, left));
    });
  }

  /** The fields of one scope: bow, reader or view. */
  names(scope) {
    return [...this.fields.values()].filter((field) => field.scope === scope).map((field) => field.name);
  }

  /** What stands in the form, typed perhaps before this module arrived. */
  read() {
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
   */
  write(record, names = null, { keepsEdited = false } = {}) {
    this.record = record;
    for (const field of this.fields.values()) {
      if (names !== null && !names.has(field.name)) continue;
      if (keepsEdited && field.edited) this.behind.add(field.name);
      else this.#write(field);
    }
    this.#show();
  }

  #write(field) {
    this.behind.delete(field.name);
    field.write(this.record[field.name] ?? null);
    field.base = field.read();
  }

  #left(field, left) {
    // They may be back already.
    if (field.edited) return;
    left(field.name);
    if (this.behind.has(field.name)) this.#write(field);
  }

  /** The fields that the reader is in, by name, with what they show. */
  get edited() {
    const fields = [...this.fields.values()].filter((field) => field.edited);
    return new Map(fields.map((field) => [field.name, field.read()]));
  }

  /** Put each problem's sentence at its field and take all others away. */
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

  #fieldOf(target) {
    const part = target.closest(".qt-field");
    return [...this.fields.values()].find((field) => field.element === part) ?? null;
  }

  #changed(target, changed) {
    const field = this.#fieldOf(target);
    if (!field) return;
    field.touched(target);
    this.#tell(field, changed);
  }

  /** What a field shows is told once: a browser says once more that a box was changed when it is left, perhaps long after. */
  #tell(field, changed, how = {}) {
    const { base } = field;
    field.base = field.read();
    return !sameEntry(base, field.base) && changed(field.name, field.base, { ...how, base });
  }

  #unchoose(target, changed) {
    const field = this.#fieldOf(target);
    field.unchoose();
    this.#tell(field, changed);
  }

  /** A row of a list comes or goes. What goes by one press can be had back. */
  #rows(button, { changed, say }) {
    const field = this.#fieldOf(button);
    const { said, took } = field.press(button);
    const undoes = this.#tell(field, changed, { remember: took });
    say(undoes ? `${said} Undo brings it back.` : said);
  }

  #show() {
    // A part with a sentence at one of its fields stays in sight: a problem that cannot be seen cannot be mended.
    // So does the part the reader is in.
    const needed = (element) =>
      element.contains(document.activeElement) ||
      [...this.fields.values()].some(
        (field) => this.problems.has(field.name) && (element === field.element || element.contains(field.element)),
      );
    applyConditions(this.element, this.record, needed);
  }
}
