// Boxes for a day. The browser's own box takes nothing but a day and shows it in the reader's order; its value is ISO's.
// A browser without such a box shows a plain one, and the package says what is right.

/** Show a typed text in a box. A box for days cannot show what is no day: it is a plain one until the next text. */
export function showTyped(control, typed) {
  const forDays = "day" in control.dataset;
  if (forDays && control.type !== "date") control.type = "date";
  // Setting an equal value would still move the caret.
  if (control.value !== typed) control.value = typed;
  if (!forDays || control.value === typed) return;
  control.type = "text";
  control.value = typed;
}

/** Whether something stands in a box for days that is no day: its value is empty all the same. */
export function isHalfTyped(control) {
  return control.validity.badInput;
}

/** The reader's own day, as ISO writes it. */
export function today(now = new Date()) {
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
