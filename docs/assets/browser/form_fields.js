// One field of a form: reads what was typed into an entry of the record and writes an entry back.
// The typed text is kept as it is; nothing here corrects it, and nothing moves the focus.

import { typedOf, unitOf } from "./entry.js";
import { showTyped } from "./date_input.js";
import { slide } from "./slider.js";

/** What all fields have in common. */
export class Field {
  constructor(element) {
    this.element = element;
    this.name = element.dataset.field;
    this.scope = element.dataset.scope ?? "bow";
    // The field of the day on which this one was entered, where it has such.
    this.datedBy = element.dataset.datedBy ?? null;
    this.error = element.querySelector(".qt-error");
    // The entry that stood here when it was last written or changed.
    this.base = null;
  }

  /** Whether the reader is in this field just now. In another window they are not, though the focus waits for them here. */
  get edited() {
    return document.hasFocus() && this.element.contains(document.activeElement);
  }

  /** Show a sentence at the field, or take it away with null. */
  complain(sentence) {
    if (this.error) {
      // Text that stands unchanged is left alone, so that a screen reader does not meet it as new.
      if (this.error.textContent !== (sentence ?? "")) this.error.textContent = sentence ?? "";
      this.error.hidden = sentence === null;
    }
    this.element.classList.toggle("qt-invalid", sentence !== null);
    this.invalid(sentence !== null);
  }
}

/** A text or number box, with its unit and its slider where it has them. */
export class InputField extends Field {
  constructor(element) {
    super(element);
    this.control = element.querySelector("input[name], textarea[name], select[name]");
    this.units = element.querySelector("[data-unit-of]");
    this.fixed = element.querySelector("[data-unit]");
    this.slider = slide(element.querySelector("[data-slider-of]"), this);
    this.slider?.follow();
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

  /** A value in this field's present unit, as an entry. */
  entryOf(typed) {
    return this.unit === null ? { typed } : { typed, unit: this.unit };
  }

  write(entry) {
    showTyped(this.control, typedOf(entry));
    const unit = unitOf(entry);
    // A unit this form does not offer stays in the record, and the package says so.
    if (this.units && unit !== null && [...this.units.options].some((option) => option.value === unit)) {
      this.units.value = unit;
    }
    this.slider?.follow();
  }

  /** After a keystroke or another unit: the slider follows, the text does not change. */
  touched(target) {
    if (target === this.slider?.control) this.slider.enter();
    else this.slider?.follow();
  }

  invalid(yes) {
    if (yes) this.control.setAttribute("aria-invalid", "true");
    else this.control.removeAttribute("aria-invalid");
  }

  focus() {
    this.control.focus();
  }

  /** What a print shows: texts, each with the elements whose place it takes; `blank` is a line to write on. */
  prints(blank) {
    const typed = this.control.selectedOptions?.[0]?.textContent ?? this.control.value;
    const text = `${typed.trim() === "" ? blank : typed} ${this.unitText}`.trim();
    return [{ text, instead: [this.control, this.units, this.fixed, this.slider?.control] }];
  }
}

/** Radio buttons, with a button that takes the choice back: without it, absent could not be reached again. */
export class RadioField extends Field {
  constructor(element) {
    super(element);
    this.radios = [...element.querySelectorAll("input[type=radio]")];
    this.name ??= this.radios[0].name;
    this.clear = element.querySelector("[data-act=unchoose]") ?? this.#clearButton();
    this.#showClear();
  }

  get chosen() {
    return this.radios.find((radio) => radio.checked) ?? null;
  }

  read() {
    return this.chosen ? { typed: this.chosen.value } : null;
  }

  entryOf(typed) {
    return { typed };
  }

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

  invalid(yes) {
    // aria-invalid belongs to a radio group; on a plain fieldset the class and the sentence speak.
    if (this.element.getAttribute("role") !== "radiogroup") return;
    if (yes) this.element.setAttribute("aria-invalid", "true");
    else this.element.removeAttribute("aria-invalid");
  }

  focus() {
    (this.chosen ?? this.radios[0]).focus();
  }

  /** As for a box. Nothing chosen: the choices themselves are printed, to be ticked by hand. */
  prints() {
    if (!this.chosen) return [];
    const label = this.chosen.closest("label").cloneNode(true);
    // The words of the choice, without the help that stands in small print beside them.
    for (const small of label.querySelectorAll("small")) small.remove();
    const labels = this.radios.map((radio) => radio.closest("label"));
    return [{ text: label.textContent.trim(), instead: [...labels, this.clear] }];
  }

  #clearButton() {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "qt-unchoose";
    button.dataset.act = "unchoose";
    button.textContent = "clear";
    const legend = this.element.querySelector("legend")?.textContent.trim() ?? this.name;
    // The visible word comes first in the name, so that speech control finds it.
    button.setAttribute("aria-label", `clear: ${legend}`);
    this.radios.at(-1).closest("label").after(button);
    return button;
  }

  #showClear() {
    this.clear.hidden = this.chosen === null;
  }
}
