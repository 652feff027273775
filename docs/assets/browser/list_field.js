// A list in a form: rows of boxes under one head, with a unit for each column. Its entry is an array of the rows in
// which something stands; an empty row is only a place to type into, and does not count.

import { Field, controlOf, shownText } from "./form_fields.js";
import { button, find, findAll, findMaybe, markInvalid } from "./dom.js";
import { isHalfTyped, showTyped } from "./date_input.js";
import { isObject } from "./json.js";
import { typedOf, unitOf } from "./entry.js";

/** @import { Entry, Place } from "./entry.js" */
/** @import { Control } from "./date_input.js" */
/** @import { Print } from "./form_fields.js" */
/** @import { UnitMenu } from "./usual_units.js" */

// So many of the newest rows are shown of a list that grows with time.
const NEWEST = 3;

export class ListField extends Field {
  /** @param {HTMLElement} element */
  constructor(element) {
    super(element);
    this.word = element.dataset.row ?? "";
    this.most = Number(element.dataset.most);
    this.columns = findAll(element, "thead [data-column]").map((head) => new Column(head));
    this.body = find(element, "tbody", HTMLTableSectionElement);
    this.rows = [...this.body.rows].map((row) => new Row(row, this.columns));
    // A list that grows with time shows its newest rows, and all of them when asked.
    this.showsNewest = element.closest(".qt-form--newest") !== null;
    if (this.showsNewest) for (const row of this.rows.splice(1)) row.element.remove();
    // So many rows stand there at first, and after a clear.
    this.fewest = this.rows.length;
    this.template = find(element, "template", HTMLTemplateElement);
    this.adder = find(element, "[data-act=add-row]", HTMLButtonElement);
    this.adder.hidden = false;
    this.note = find(element, ".qt-row-note");
    this.all = button("", "all-row");
    this.all.hidden = true;
    this.olderCount = 0;
    find(element, "table").before(this.all);
    // A day that is half typed has no value, so that no event tells of it.
    this.body.addEventListener("focusout", () => this.#number());
    this.#number();
  }

  /**
   * Whether it is the head of a column in which something stands: what was written is not hidden.
   * @param {HTMLElement} element
   */
  holds(element) {
    return this.rows.some(({ cells }) => cells.some((cell) => cell.column.head === element && !cell.isEmpty));
  }

  /**
   * The menus of units in the columns' heads.
   * @returns {UnitMenu[]}
   */
  get unitMenus() {
    return this.columns.flatMap((column) => {
      const isEmpty = () => this.rows.every(({ cells }) => cells.every((cell) => cell.column !== column || cell.isEmpty));
      return column.menu ? [{ menu: column.menu, isEmpty, changed: () => this.touched() }] : [];
    });
  }

  /** How many rows have something in them, in words; "" for none. */
  get words() {
    const { length } = this.#filled;
    return length === 0 ? "" : `${length} ${length === 1 ? "row" : "rows"}`;
  }

  /** The rows in which something stands, or null where there is none. */
  read() {
    const rows = this.#filled.map((row) => row.read());
    return rows.length > 0 ? rows : null;
  }

  /** @param {Entry | null} entry */
  write(entry) {
    /** @param {Record<string, unknown>} row */
    const hasText = (row) => this.columns.some(({ name }) => typedOf(row[name]).trim() !== "");
    /** @type {unknown[]} */
    const rows = Array.isArray(entry) ? entry : [];
    const shown = rows.filter(isObject).filter(hasText).slice(0, this.most);
    for (const column of this.columns) {
      column.take(shown.map((row) => row[column.name]));
      column.exemplify();
    }
    const wanted = Math.max(shown.length, this.fewest);
    for (const row of this.rows.splice(wanted)) row.element.remove();
    while (this.rows.length < wanted) this.#append();
    for (const [index, row] of this.rows.entries()) row.write(shown[index] ?? {});
    this.#number();
  }

  /** After a keystroke, or another unit in a head. */
  touched() {
    for (const column of this.columns) column.exemplify();
    for (const row of this.rows) for (const cell of row.cells) cell.settle();
    this.#number();
  }

  /**
   * A button was pressed: a line to speak, and whether something typed went.
   * @param {HTMLElement} pressed
   */
  press(pressed) {
    if (pressed === this.all) return this.#showAll();
    const row = this.rows.find((one) => one.button === pressed);
    return row ? this.#remove(row) : this.#add();
  }

  /**
   * Show a sentence at the list, and mark its boxes at these places.
   * @param {string | null} sentence
   * @param {Place[]} places
   */
  complain(sentence, places = []) {
    super.complain(sentence);
    const wrong = new Set(places.map((place) => this.#boxAt(place)));
    for (const row of this.rows) for (const { control } of row.cells) markInvalid(control, wrong.has(control));
  }

  /** @param {Place} [place] */
  focus(place) {
    const box = this.#boxAt(place);
    if (box?.closest(".qt-older")) this.#showAll();
    (box ?? this.rows[this.rows.length - 1].cells[0].control).focus();
  }

  /**
   * `blank` is a line to write on; `entered` whether what was entered is printed.
   * @param {string} blank
   * @param {boolean} entered
   * @returns {Print[]}
   */
  prints(blank, entered) {
    const filled = entered ? this.#filled : [];
    /** @type {(HTMLElement | null)[]} */
    const gone = [...this.columns.map((column) => column.menu), ...this.rows.map((row) => row.button), this.adder, this.all];
    // Where nothing is typed the empty rows are lines to write on.
    const shown = filled.length > 0 ? filled : this.rows;
    gone.push(...this.rows.filter((row) => !shown.includes(row)).map((row) => row.element));
    return [{ text: "", instead: gone }, ...shown.flatMap((row) => row.cells.map((cell) => cell.print(blank, entered)))];
  }

  /** Whether one empty row stands there: there is nothing to remove. */
  get #isBlank() {
    return this.rows.length === 1 && this.rows[0].isEmpty;
  }

  get #filled() {
    return this.rows.filter((row) => !row.isEmpty);
  }

  /**
   * The box that a problem names, counted as the package counts: rows in which something stands.
   * @param {Place} [place]
   */
  #boxAt(place) {
    const cells = this.#filled[(place?.row ?? 0) - 1]?.cells;
    return cells?.find((cell) => cell.column.name === place?.column)?.control ?? null;
  }

  #add() {
    const row = this.#append();
    this.#number();
    row.cells[0].control.focus();
    const last = this.rows.length < this.most ? "" : ` There can be ${this.most}, and no more.`;
    return { said: `A row for ${row.called} was added.${last}`, took: false };
  }

  /** @param {Row} row */
  #remove(row) {
    const { called, isEmpty } = row;
    const index = this.rows.indexOf(row);
    this.rows.splice(index, 1);
    if (this.rows.length === 0) this.#append();
    const next = this.rows[Math.min(index, this.rows.length - 1)];
    this.#number();
    // To the row that took its place: the same button again, or a box where nothing is left to remove.
    (this.#isBlank ? next.cells[0].control : next.button).focus();
    row.element.remove();
    return { said: isEmpty ? "An empty row was removed." : `Removed: ${called}.`, took: !isEmpty };
  }

  #append() {
    const element = find(this.template.content, "tr", HTMLTableRowElement).cloneNode(true);
    this.body.append(element);
    const row = new Row(/** @type {HTMLTableRowElement} */ (element), this.columns);
    this.rows.push(row);
    return row;
  }

  #showAll() {
    this.showsNewest = false;
    this.#hideOlder();
    this.rows[0].cells[0].control.focus();
    return { said: "All rows are shown.", took: false };
  }

  #hideOlder() {
    const older = this.showsNewest ? this.rows.slice(0, -NEWEST) : [];
    // By a class, for paper shows all rows, and a print hides and shows some by itself.
    for (const row of this.rows) row.element.classList.toggle("qt-older", older.includes(row));
    if (older.length === this.olderCount) return;
    this.olderCount = older.length;
    this.all.hidden = older.length === 0;
    this.all.textContent = `Show ${older.length} older ${older.length === 1 ? this.word : "rows"}`;
  }

  /** Number the rows as the package does: an empty one with others below it does not count. */
  #number() {
    const last = this.rows.findLastIndex((row) => !row.isEmpty);
    let number = 0;
    for (const [index, row] of this.rows.entries()) {
      if (row.isEmpty && index < last) row.call(`empty row ${index + 1}`, "\u2013");
      else row.call(`${this.word} ${(number += 1)}`, String(number));
      for (const { control, column } of row.cells) control.id = `f-${this.name}-${index + 1}-${column.name}`;
    }
    this.element.classList.toggle("qt-list--blank", this.#isBlank);
    this.adder.disabled = this.rows.length >= this.most;
    this.#hideOlder();
    /** @param {Row[]} rows */
    const calledOf = (rows) => rows.map((row) => row.called).join(", ");
    const unfinished = this.#filled.filter((row) => row.isUnfinished);
    const halfTyped = this.rows.filter((row) => row.isHalfTyped);
    const lines = [];
    if (halfTyped.length > 0) lines.push(`No whole day yet: ${calledOf(halfTyped)}.`);
    if (unfinished.length > 0) lines.push(`Not used yet, because a box is empty: ${calledOf(unfinished)}.`);
    const text = lines.join(" ");
    if (this.note.textContent !== text) this.note.textContent = text;
    this.note.hidden = text === "";
  }
}

/** A column's head: its unit, which all boxes have that came with no other, and whether a row is of use without it. */
class Column {
  /** @param {HTMLElement} head */
  constructor(head) {
    this.head = head;
    this.name = head.dataset.column ?? "";
    this.label = head.dataset.label ?? "";
    this.isNeeded = "needed" in head.dataset;
    this.menu = findMaybe(head, "[data-unit-of]", HTMLSelectElement);
    this.fixed = findMaybe(head, "[data-unit]");
    this.example = findMaybe(head, "[data-examples]");
    /**
     * By unit, as the page's template writes them.
     * @type {{ [unit: string]: string | undefined }}
     */
    this.examples = JSON.parse(this.example?.dataset.examples ?? "{}");
  }

  /** Tell the example in the column's unit. */
  exemplify() {
    const example = this.examples[this.unit ?? ""];
    if (this.example && example) this.example.textContent = `example ${example}`;
  }

  get unit() {
    return this.menu?.value ?? this.fixed?.dataset.unit ?? null;
  }

  /**
   * The words for a unit; one that is not offered here speaks for itself.
   * @param {string | null} unit
   */
  words(unit) {
    const option = this.#options.find(({ value }) => value === unit);
    return (option ?? (this.fixed?.dataset.unit === unit ? this.fixed : null))?.textContent.trim() ?? unit ?? "";
  }

  /**
   * Take the unit of the first of these entries that has one on offer; where none has, it stays.
   * @param {unknown[]} entries
   */
  take(entries) {
    const units = entries.filter((entry) => typedOf(entry).trim() !== "").map(unitOf);
    const unit = units.find((one) => this.#options.some(({ value }) => value === one));
    if (this.menu && unit) this.menu.value = unit;
  }

  get #options() {
    return [...(this.menu?.options ?? [])];
  }
}

class Row {
  /**
   * @param {HTMLTableRowElement} element
   * @param {Column[]} columns
   */
  constructor(element, columns) {
    this.element = element;
    this.head = find(element, "th");
    this.button = find(element, "[data-act=remove-row]");
    this.button.hidden = false;
    this.cells = columns.map((column) => new Cell(controlOf(element, `[data-column="${column.name}"]`), column));
    // What it is called at present.
    this.called = "";
  }

  get isEmpty() {
    return this.cells.every((cell) => cell.isEmpty);
  }

  get isUnfinished() {
    return this.cells.some((cell) => cell.column.isNeeded && cell.isEmpty);
  }

  get isHalfTyped() {
    return this.cells.some((cell) => isHalfTyped(cell.control));
  }

  read() {
    const cells = this.cells.filter((cell) => !cell.isEmpty);
    return Object.fromEntries(cells.map((cell) => [cell.column.name, cell.read()]));
  }

  /** @param {Record<string, unknown>} row */
  write(row) {
    for (const cell of this.cells) cell.write(row[cell.column.name]);
  }

  /**
   * Name the row, for its boxes and its button.
   * @param {string} called
   * @param {string} number
   */
  call(called, number) {
    this.called = called;
    this.head.textContent = number;
    for (const { control, column } of this.cells) control.setAttribute("aria-label", `${column.label}, ${called}`);
    this.button.setAttribute("aria-label", `${this.button.textContent} ${called}`);
  }
}

/** A box or a menu of a row. It has its column's unit, or its own where a list came with several in one column. */
class Cell {
  /**
   * @param {Control} control
   * @param {Column} column
   */
  constructor(control, column) {
    this.control = control;
    this.column = column;
    this.shown = find(control.parentElement ?? document, ".qt-unit");
    /** @type {string | null} */
    this.own = null;
  }

  get isEmpty() {
    return this.control.value.trim() === "";
  }

  get unit() {
    return this.own ?? this.column.unit;
  }

  read() {
    const typed = this.control.value;
    return this.unit === null ? { typed } : { typed, unit: this.unit };
  }

  /** @param {unknown} entry */
  write(entry) {
    showTyped(this.control, typedOf(entry));
    this.own = unitOf(entry);
    this.settle();
  }

  /** A unit of its own ends with what was typed in it, or where the column now has the same. */
  settle() {
    if (this.isEmpty || this.own === this.column.unit) this.own = null;
    this.shown.textContent = this.own === null ? "" : this.column.words(this.own);
    this.shown.hidden = this.own === null;
  }

  /**
   * @param {string} blank
   * @param {boolean} entered
   * @returns {Print}
   */
  print(blank, entered) {
    const text = `${this.isEmpty || !entered ? blank : this.#words} ${this.column.words(this.unit)}`.trim();
    return { text, instead: [this.control, this.shown] };
  }

  /** What stands in it, as it is read there. */
  get #words() {
    return shownText(this.control)?.trim() ?? this.control.value;
  }
}
