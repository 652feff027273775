// data-when: shows a part of a form only where it applies. "a=x|y&b=z" reads: a is x or y, and b is z.
// An empty value stands for "nothing entered". A hidden field keeps its value.

import { findAll } from "./dom.js";
import { typedOf } from "./entry.js";

/** @import { Entries } from "./entry.js" */

/**
 * Whether a condition holds for a record.
 * @param {string} condition
 * @param {Entries} record
 */
export function holds(condition, record) {
  return condition.split("&").every((part) => {
    const [name, values = ""] = part.split("=");
    return values.split("|").includes(typedOf(record[name]));
  });
}

/**
 * Show and hide every conditional part of a form. `needed(element)` keeps a part in sight all the same.
 * @param {HTMLElement} form
 * @param {Entries} record
 * @param {(element: HTMLElement) => boolean} needed
 */
export function applyConditions(form, record, needed) {
  for (const element of findAll(form, "[data-when]")) {
    element.hidden = !holds(element.dataset.when ?? "", record) && !needed(element);
  }
}
