// A print shows what stands in the form as text with units, and closed details too. All is put back afterwards. The sheet
// ends with the page's address and, printed by the page's own button, with a code that opens the bow.

import { find, make } from "./dom.js";
import { parseSanitised } from "./sanitise.js";
import { SITE } from "./site_paths.js";

// On paper an empty box is a line to write on.
const BLANK = "__________";
const EMPTY_ROWS = 7;

/** @import { Client } from "./client.js" */
/** @import { Form } from "./form.js" */
/** @import { Session } from "./session.js" */
/** @import { Print } from "./form_fields.js" */

/**
 * What is printed: the sheet with the reader's own result, the steps with lines to write on, one sheet of them, the words,
 * the card alone, or what is printed of a rack.
 * @param {"sheet" | "steps" | "bench" | "reading" | "card" | "rack"} kind
 */
export function printAs(kind) {
  document.documentElement.dataset.print = kind;
  window.print();
}

// Milliseconds: nobody waits longer than this for a code.
const PATIENCE = 1500;

/** The code for the print that has been asked for, as HTML. */
let code = "";

/**
 * Print the sheet, with the code of the shown bow where there is one; a calculator that is not there yet is not waited for.
 * @param {{ client: Client, session: Session }} page
 */
export async function printSheet({ client, session }) {
  code = client.state.name === "ready" ? await codeOf(client, session.forLink) : "";
  printAs("sheet");
}

/**
 * @param {Client} client
 * @param {Session["forLink"]} record
 */
async function codeOf(client, record) {
  const asked = client.ask({ ask: "code", record, address: SITE.href }, { key: "code" });
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE, null));
  const answer = await Promise.race([asked, late]);
  return answer?.html ?? "";
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
    if (shown) restore ??= prepare(shown, dataset.print === "sheet");
  });
  window.addEventListener("afterprint", () => {
    restore?.();
    restore = null;
    code = "";
    delete dataset.print;
  });
}

/**
 * @param {Form} form
 * @param {boolean} entered - whether what was entered is printed, or lines to write on
 */
function prepare(form, entered) {
  const active = document.activeElement;
  const fields = [...form.fields.values()];
  // What was not entered is not on the sheet of what was.
  const left = fields.filter((field) => entered && field.read() === null).map(({ element }) => element);
  const undo = [
    ...openDetails(),
    ...fields.flatMap((field) => field.prints(BLANK, entered)).flatMap(asText),
    ...left.filter((element) => !element.hidden).map(hide),
    ...(entered ? [] : moreRows()),
    address(entered ? code : ""),
  ];
  return () => {
    for (const step of undo) step();
    // A control that was hidden for the print has lost the focus.
    if (active instanceof HTMLElement && active !== document.activeElement) active.focus({ preventScroll: true });
  };
}

/** A list has one empty row on the screen; on paper there is room for more. */
function moreRows() {
  const rows = [...document.querySelectorAll(".qt-rows tbody")].map((body) => [...body.querySelectorAll("tr:not([hidden])")]);
  const last = rows.flatMap((all) => all.slice(-1));
  return last.flatMap((row) =>
    Array.from({ length: EMPTY_ROWS }, () => {
      const more = /** @type {Element} */ (row.cloneNode(true));
      for (const head of more.querySelectorAll("th")) head.textContent = "";
      row.after(more);
      return () => more.remove();
    }),
  );
}

/**
 * Paper says which page it was, and how to open the bow again.
 * @param {string} html - the code, or ""
 */
function address(html) {
  const from = make("div", { className: "qt-print-from" }, [make("p", { text: location.href.replace(/(bare\.html)?([?#].*)?$/, "") })]);
  if (html) from.append(parseSanitised(html), make("p", { text: "The code opens this bow." }));
  find(document, ".qt-page").append(from);
  return () => from.remove();
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
