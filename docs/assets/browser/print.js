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
  const undo = [...openDetails(), ...forms.flatMap((form) => [...form.fields.values()].flatMap(asText))];
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

function asText(field) {
  const choices = field.radios !== undefined;
  // Nothing chosen: the choices themselves are printed, to be ticked by hand.
  if (choices && field.printed === "") return [];
  const controls = choices
    ? [...field.radios.map((radio) => radio.closest("label")), field.clear]
    : [field.control, field.units, field.fixed, field.slider?.control];
  const text = field.printed || `${BLANK} ${field.unitText ?? ""}`.trim();
  const value = make("span", { className: "qt-print-value", text });
  const first = controls[0];
  first.before(value);
  return [() => value.remove(), ...controls.filter((control) => control && !control.hidden).map(hide)];
}

function hide(control) {
  control.hidden = true;
  return () => {
    control.hidden = false;
  };
}
