// Boxes for a day. The browser's own box takes nothing but a day and shows it in the reader's order; its value is ISO's.
// A browser without such a box shows a plain one, and the package says what is right.

/** @typedef {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} Control */

/**
 * Show a typed text in a box. A box for days cannot show what is no day: it is a plain one until the next text.
 * @param {Control} control
 * @param {string} typed
 */
export function showTyped(control, typed) {
  const days = control instanceof HTMLInputElement && "day" in control.dataset ? control : null;
  if (days && days.type !== "date") days.type = "date";
  // Setting an equal value would still move the caret.
  if (control.value !== typed) control.value = typed;
  if (!days || days.value === typed) return;
  days.type = "text";
  days.value = typed;
}

/**
 * Whether something stands in a box for days that is no day: its value is empty all the same.
 * @param {Control} control
 */
export function isHalfTyped(control) {
  return control.validity.badInput;
}

/** The reader's own day, as ISO writes it. */
export function today(now = new Date()) {
  /** @param {number} number */
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
