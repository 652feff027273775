// A print shows what stands in the form as text with units, and closed details too. All is put back afterwards.

import { make } from "./dom.js";

// On paper an empty box is a line to write on.
const BLANK = "__________";

/** @import { Form } from "./form.js" */
/** @import { Print } from "./form_fields.js" */

/**
 * What is printed: the sheet with the reader's own result, the steps with lines to write on, or the words.
 * @param {"sheet" | "steps" | "reading"} kind
 */
export function printAs(kind) {
  document.documentElement.dataset.print = kind;
  window.print();
}

/**
 * Prepare every print, however it is started: by one of the page's buttons or, as a sheet, the browser's menu.
 * @param {() => Form | null} form
 */
export function preparePrint(form) {
  /** @type {(() => void) | null} */
  let restore = null;
  const { dataset } = document.documentElement;
  window.addEventListener("beforeprint", () => {
    dataset.print ??= "sheet";
    const shown = form();
    if (shown) restore ??= prepare(shown);
  });
  window.addEventListener("afterprint", () => {
    restore?.();
    restore = null;
    delete dataset.print;
  });
}

/** @param {Form} form */
function prepare(form) {
  const active = document.activeElement;
  const fields = [...form.fields.values()];
  const undo = [...openDetails(), ...fields.flatMap((field) => field.prints(BLANK)).flatMap(asText)];
  return () => {
    for (const step of undo) step();
    // A control that was hidden for the print has lost the focus.
    if (active instanceof HTMLElement && active !== document.activeElement) active.focus({ preventScroll: true });
  };
}

function openDetails() {
  const closed = [...document.querySelectorAll("details")].filter((details) => !details.open);
  return closed.map((details) => {
    details.open = true;
    return () => {
      details.open = false;
    };
  });
}

/**
 * Show a text in the place of some elements; an empty one only hides them. What undoes that.
 * @param {Print} print
 */
function asText({ text, instead }) {
  const hidden = instead.filter((element) => element instanceof HTMLElement).filter((element) => !element.hidden).map(hide);
  if (text === "") return hidden;
  const value = make("span", { className: "qt-print-value", text });
  instead[0]?.before(value);
  return [() => value.remove(), ...hidden];
}

/** @param {HTMLElement} control */
function hide(control) {
  control.hidden = true;
  return () => {
    control.hidden = false;
  };
}
