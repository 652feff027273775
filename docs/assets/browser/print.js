// A print shows what stands in the form as text with units, and closed details too. All is put back afterwards.

import { make } from "./dom.js";

// On paper an empty box is a line to write on.
const BLANK = "__________";

/** @import { Form } from "./form.js" */
/** @import { Print } from "./form_fields.js" */

/**
 * Prepare every print, however it is started: by the page's button or the browser's menu.
 * @param {() => Form[]} forms
 */
export function preparePrint(forms) {
  /** @type {(() => void) | null} */
  let restore = null;
  window.addEventListener("beforeprint", () => {
    restore ??= prepare(forms());
  });
  window.addEventListener("afterprint", () => {
    restore?.();
    restore = null;
  });
}

/** @param {Form[]} forms */
function prepare(forms) {
  const active = document.activeElement;
  const fields = forms.flatMap((form) => [...form.fields.values()]);
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
