// A print shows what stands in the form as text with units, and closed details too. All is put back afterwards.

import { make } from "./dom.js";

// On paper an empty box is a line to write on.
const BLANK = "__________";

/** Prepare every print, however it is started: by the page's button or the browser's menu. */
export function preparePrint(forms) {
  let restore = null;
  window.addEventListener("beforeprint", () => {
    restore ??= prepare(forms());
  });
  window.addEventListener("afterprint", () => {
    restore?.();
    restore = null;
  });
}

function prepare(forms) {
  const active = document.activeElement;
  const fields = forms.flatMap((form) => [...form.fields.values()]);
  const undo = [...openDetails(), ...fields.flatMap((field) => field.prints(BLANK)).flatMap(asText)];
  return () => {
    for (const step of undo) step();
    // A control that was hidden for the print has lost the focus.
    if (active !== document.activeElement) active?.focus({ preventScroll: true });
  };
}

function openDetails() {
  return [...document.querySelectorAll("details:not([open])")].map((details) => {
    details.open = true;
    return () => {
      details.open = false;
    };
  });
}

/** Show a text in the place of some elements; an empty one only hides them. */
function asText({ text, instead }) {
  const hidden = instead.filter((element) => element && !element.hidden).map(hide);
  if (text === "") return hidden;
  const value = make("span", { className: "qt-print-value", text });
  instead[0].before(value);
  return [() => value.remove(), ...hidden];
}

function hide(control) {
  control.hidden = true;
  return () => {
    control.hidden = false;
  };
}
