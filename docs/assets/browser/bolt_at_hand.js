// One bolt at a time on a narrow page: the one that the reader's view looks at (limb_shown). The other is a line.

import { closestTo } from "./dom.js";
import { typedOf } from "./entry.js";

/** @import { PageForm } from "./page_form.js" */

/**
 * @param {HTMLElement} root
 * @param {PageForm} page
 */
export function showBoltAtHand(root, page) {
  const field = page.form.fields.get("limb_shown");
  if (!field || !("entryOf" in field)) return;
  page.listen((answered) => {
    if (!answered) root.dataset.bolt = typedOf(page.session.shown.limb_shown) || "upper";
  });
  root.addEventListener("click", (event) => {
    const pressed = closestTo(event, "[data-switch-bolt]");
    if (!pressed) return;
    const bolt = pressed.dataset.switchBolt ?? "upper";
    page.session.change("limb_shown", field.entryOf(bolt), null);
    const next = pressed.dataset.goTo;
    if (next) document.getElementById(next)?.scrollIntoView();
  });
}
