// A slider and a number box on one value. The box holds the value; the slider shows it, or enters one.

import { formatTyped, parseTyped } from "./number.js";
import { setSlider } from "./touch.js";

/** @import { InputField } from "./form_fields.js" */

/**
 * A slider's ends, step and decimals in one unit, and where it stands while its box is empty.
 * @typedef {number | string} Numeric
 * @typedef {{ min: Numeric, max: Numeric, step: Numeric, decimals?: number, default?: Numeric }} Range
 */

/**
 * Bind a slider to its box; null where the field has no slider.
 * @param {HTMLInputElement | null} control
 * @param {InputField} box
 */
export function slide(control, box) {
  return control ? new Slider(control, box) : null;
}

class Slider {
  /**
   * @param {HTMLInputElement} control
   * @param {InputField} box
   */
  constructor(control, box) {
    this.control = control;
    this.box = box;
    /**
     * By unit, as the page's template writes them.
     * @type {{ [unit: string]: Range }}
     */
    this.ranges = JSON.parse(control.dataset.units ?? "{}");
    // A slider that stands where the reader wants it sends no event: Enter takes the value as it stands.
    control.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || !this.#empty) return;
      event.preventDefault();
      control.dispatchEvent(new Event("input", { bubbles: true }));
    });
  }

  get #empty() {
    return this.box.control.value.trim() === "";
  }

  get #range() {
    return this.#rangeIn(this.box.unit);
  }

  /**
   * @param {string | null} unit
   * @returns {Range}
   */
  #rangeIn(unit) {
    const range = this.ranges[unit ?? ""] ?? Object.values(this.ranges)[0];
    if (range) return range;
    const { min, max, step, defaultValue } = this.control;
    return { min, max, step, decimals: (step.split(".")[1] ?? "").length, default: defaultValue };
  }

  /**
   * One step in a unit, and the decimals it is written with.
   * @param {string | null} unit
   */
  stepsIn(unit) {
    const { step, decimals = 0 } = this.#rangeIn(unit);
    return { step: Number(step), decimals };
  }

  /** Where it stands while its box is empty, as a text. */
  get example() {
    return String(this.#range.default ?? this.#range.min);
  }

  /** Stand where the box says; at the default, without entering it, where the box is empty. */
  follow() {
    const range = this.#range;
    this.control.min = String(range.min);
    this.control.max = String(range.max);
    this.control.step = String(range.step);
    const typed = parseTyped(this.box.control.value);
    if (typed !== null) setSlider(this.control, typed);
    else if (this.#empty) setSlider(this.control, range.default ?? range.min);
    this.#speak();
  }

  /** The reader moved the slider: its number, with the unit's decimals, becomes what is typed. */
  enter() {
    const box = this.box.control;
    box.value = formatTyped(this.control.value, this.#range.decimals ?? 0, box.value);
    this.#speak();
  }

  #speak() {
    this.box.element.classList.toggle("qt-unset", this.#empty);
    const unit = this.box.unitText;
    const text = this.#empty
      ? `nothing entered, the slider stands at ${formatTyped(this.control.value, this.#range.decimals ?? 0)} ${unit}`
      : `${this.box.control.value} ${unit}`;
    this.control.setAttribute("aria-valuetext", text.trim());
  }
}
