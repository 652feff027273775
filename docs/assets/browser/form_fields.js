// One field of a form: reads what was typed into an entry of the record and writes an entry back.
// The typed text is kept as it is; nothing here corrects it, and nothing moves the focus.

import { button, find, findMaybe, markInvalid } from "./dom.js";
import { showTyped } from "./date_input.js";
import { slide } from "./slider.js";
import { typedOf, unitOf } from "./entry.js";

/** @import { Control } from "./date_input.js" */
/** @import { Entries, Entry } from "./entry.js" */
/** @import { UnitMenu } from "./usual_units.js" */

/**
 * What a print shows: a text, and the elements whose place it takes; an empty one only hides them.
 * @typedef {{ text: string, instead: (HTMLElement | null | undefined)[] }} Print
 */

/** What all fields have in common. */
export class Field {
  /** @param {HTMLElement} element */
  constructor(element) {
    this.element = element;
    this.name = element.dataset.field ?? "";
    this.scope = element.dataset.scope ?? "bow";
    // The field of the day on which this one was entered, where it has such.
    this.datedBy = element.dataset.datedBy ?? null;
    // "FIELD=VALUE": what is entered too when this is filled in.
    this.enters = element.dataset.enters ?? null;
    this.error = findMaybe(element, ".qt-error");
    /**
     * The entry that stood here when it was last written or changed.
     * @type {Entry | null}
     */
    this.base = null;
  }

  /** Whether the reader is in this field just now. In another window they are not, though the focus waits for them here. */
  get edited() {
    return document.hasFocus() && this.element.contains(document.activeElement);
  }

  /**
   * Show a sentence at the field, or take it away with null.
   * @param {string | null} sentence
   */
  complain(sentence) {
    if (this.error) {
      // Text that stands unchanged is left alone, so that a screen reader does not meet it as new.
      if (this.error.textContent !== (sentence ?? "")) this.error.textContent = sentence ?? "";
      this.error.hidden = sentence === null;
    }
    this.element.classList.toggle("qt-invalid", sentence !== null);
  }
}

/** A text or number box, with its unit and its slider where it has them. */
export class InputField extends Field {
  /** @param {HTMLElement} element */
  constructor(element) {
    super(element);
    this.control = controlOf(element, "input[name], textarea[name], select[name]");
    this.units = findMaybe(element, "[data-unit-of]", HTMLSelectElement);
    this.fixed = findMaybe(element, "[data-unit]");
    // A second box beside it: what is counted there goes into this one over the number in another field, "20/8".
    this.counted = findMaybe(element, "[data-over]", HTMLInputElement);
    this.slider = slide(findMaybe(element, "[data-slider-of]", HTMLInputElement), this);
    this.#follow();
  }

  /**
   * The menu of its units, where it has one.
   * @returns {UnitMenu[]}
   */
  get unitMenus() {
    const isEmpty = () => this.control.value.trim() === "";
    return this.units ? [{ menu: this.units, isEmpty, changed: () => this.#follow() }] : [];
  }

  /** The slider and the example are told in the unit that stands beside the box. */
  #follow() {
    this.slider?.follow();
    if (this.slider && this.units) this.control.setAttribute("placeholder", `example ${this.slider.example}`);
  }

  get unit() {
    return this.units?.value ?? this.fixed?.dataset.unit ?? null;
  }

  /** The words for the unit, for print and for the slider's spoken value. */
  get unitText() {
    return (this.units?.selectedOptions[0] ?? this.fixed)?.textContent.trim() ?? "";
  }

  /** The entry, or null for an empty box: absent, which is not the default. */
  read() {
    const typed = this.control.value;
    if (typed.trim() === "") return null;
    return this.entryOf(typed);
  }

  /** What stands here in words, "" where nothing does. */
  get words() {
    const typed = shownText(this.control) ?? this.control.value;
    return typed.trim() === "" ? "" : `${typed.trim()} ${this.unitText}`.trim();
  }

  /**
   * A value as an entry, in this field's present unit unless another is told.
   * @param {string} typed
   */
  entryOf(typed, unit = this.unit) {
    return unit === null ? { typed } : { typed, unit };
  }

  /** @param {Entry | null} entry */
  write(entry) {
    showTyped(this.control, typedOf(entry));
    const unit = unitOf(entry);
    // A unit this form does not offer stays in the record, and the package says so.
    if (this.units && unit !== null && [...this.units.options].some((option) => option.value === unit)) {
      this.units.value = unit;
    }
    if (this.counted) this.counted.value = "";
    this.#follow();
  }

  /**
   * After a keystroke or another unit: the slider follows, the text does not change.
   * @param {EventTarget | null} target
   * @param {Entries} record
   */
  touched(target, record) {
    if (this.counted && target === this.counted) this.#count(this.counted, record);
    else if (this.counted && target === this.control) this.counted.value = "";
    if (this.slider && target === this.slider.control) this.slider.enter();
    else this.#follow();
  }

  /**
   * What was counted becomes what is typed; with its own word while nobody knows over what.
   * @param {HTMLInputElement} counted
   * @param {Entries} record
   */
  #count(counted, record) {
    const count = counted.value.trim();
    const { over = "", word = "" } = counted.dataset;
    const parts = typedOf(record[over]).trim();
    if (count === "") this.control.value = "";
    else this.control.value = parts === "" ? `${count} ${word}` : `${count}/${parts}`;
  }

  /** @param {string | null} sentence */
  complain(sentence) {
    super.complain(sentence);
    markInvalid(this.control, sentence !== null);
  }

  focus() {
    this.control.focus();
  }

  /**
   * `blank` is a line to write on; `entered` whether what was entered is printed.
   * @param {string} blank
   * @param {boolean} entered
   * @returns {Print[]}
   */
  prints(blank, entered) {
    const text = (entered && this.words) || `${blank} ${this.unitText}`.trim();
    return [{ text, instead: [this.control, this.units, this.fixed, this.slider?.control] }];
  }
}

/** Radio buttons, with a button that takes the choice back: without it, absent could not be reached again. */
export class RadioField extends Field {
  /** @param {HTMLElement} element */
  constructor(element) {
    super(element);
    this.radios = [...element.querySelectorAll("input")].filter((input) => input.type === "radio");
    this.name ||= this.radios[0].name;
    this.clear = findMaybe(element, "[data-act=unchoose]") ?? this.#clearButton();
    this.#showClear();
  }

  /**
   * A choice has no units.
   * @returns {UnitMenu[]}
   */
  get unitMenus() {
    return [];
  }

  get chosen() {
    return this.radios.find((radio) => radio.checked) ?? null;
  }

  /** What is chosen, in the words of its label without the small print; "" where nothing is. */
  get words() {
    return this.chosen ? wordsOf(labelOf(this.chosen)) : "";
  }

  read() {
    return this.chosen ? { typed: this.chosen.value } : null;
  }

  /** @param {string} typed */
  entryOf(typed) {
    return { typed };
  }

  /** @param {Entry | null} entry */
  write(entry) {
    const typed = typedOf(entry);
    for (const radio of this.radios) radio.checked = radio.value === typed;
    this.#showClear();
  }

  touched() {
    this.#showClear();
  }

  /** Take the choice back. The button goes away, so the focus goes to the choices rather than nowhere. */
  unchoose() {
    this.radios[0].focus();
    this.write(null);
  }

  /** @param {string | null} sentence */
  complain(sentence) {
    super.complain(sentence);
    // aria-invalid belongs to a radio group; on a plain fieldset the class and the sentence speak.
    if (this.element.getAttribute("role") === "radiogroup") markInvalid(this.element, sentence !== null);
  }

  focus() {
    (this.chosen ?? this.radios[0]).focus();
  }

  /**
   * As for a box. Nothing chosen: the choices themselves are printed, to be ticked by hand.
   * @param {string} _blank
   * @param {boolean} entered
   * @returns {Print[]}
   */
  prints(_blank, entered) {
    if (!this.chosen || !entered) return [];
    return [{ text: this.words, instead: [...this.radios.map(labelOf), this.clear] }];
  }

  #clearButton() {
    const clear = button("clear", "unchoose");
    clear.className = "qt-unchoose";
    const legend = findMaybe(this.element, "legend")?.textContent.trim() ?? this.name;
    // The visible word comes first in the name, so that speech control finds it.
    clear.setAttribute("aria-label", `clear: ${legend}`);
    labelOf(this.radios[this.radios.length - 1]).after(clear);
    return clear;
  }

  #showClear() {
    this.clear.hidden = this.chosen === null;
  }
}

/**
 * The one control that matches: a box, a text area or a menu.
 * @param {Element} element
 * @param {string} selector
 * @returns {Control}
 */
export function controlOf(element, selector) {
  const found = find(element, selector);
  const isControl =
    found instanceof HTMLInputElement || found instanceof HTMLTextAreaElement || found instanceof HTMLSelectElement;
  if (!isControl) throw new Error(`${selector} is no control.`);
  return found;
}

/**
 * What is chosen in a menu, in its words; null in a box, or where nothing is.
 * @param {Control} control
 */
export function shownText(control) {
  return control instanceof HTMLSelectElement ? (control.selectedOptions[0]?.textContent ?? null) : null;
}

/**
 * The words of a label, without the help that stands in small print beside them, and without its drawing.
 * @param {HTMLElement} label
 */
function wordsOf(label) {
  const copy = label.cloneNode(true);
  if (!(copy instanceof HTMLElement)) return "";
  for (const other of copy.querySelectorAll("small, svg")) other.remove();
  return copy.textContent.trim();
}

/**
 * The label around a radio button.
 * @param {HTMLElement} radio
 */
function labelOf(radio) {
  return radio.closest("label") ?? radio;
}
