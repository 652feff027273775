// Experiments in the page's words: a button, or a link, with data-try="name=value&other=value" sets fields of the view. A
// button moves the picture where it is, and can put it back; the address #ID of an experiment opens there and runs it.

import { closestTo, findAll, findMaybe } from "./dom.js";

/** @import { Entry } from "./entry.js" */
/** @import { PageForm } from "./page_form.js" */

/**
 * @param {HTMLElement} root
 * @param {PageForm} page
 */
export function beginTries(root, page) {
  /**
   * What stood there before the first experiment.
   * @type {Map<string, Entry | null>}
   */
  const before = new Map();

  /** @param {string} settings */
  const run = (settings) => {
    for (const [name, typed] of new URLSearchParams(settings)) {
      const field = page.form.fields.get(name);
      // Only the view may be set so: what was entered of a bow is the reader's.
      if (field?.scope !== "view" || !("entryOf" in field)) continue;
      if (!before.has(name)) before.set(name, page.session.shown[name] ?? null);
      page.session.change(name, field.entryOf(typed), null);
    }
  };

  /** @param {HTMLElement | null} pressed */
  const mark = (pressed) => {
    for (const button of findAll(root, "button[data-try]")) {
      const isOn = button === pressed;
      button.setAttribute("aria-pressed", String(isOn));
      const back = findMaybe(button.parentElement ?? root, "[data-put-back]");
      if (back) back.hidden = !isOn;
    }
  };

  root.addEventListener("click", (event) => {
    const pressed = closestTo(event, "[data-try]");
    if (pressed && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      run(pressed.dataset.try ?? "");
      mark(pressed);
    }
    const back = closestTo(event, "[data-put-back]");
    if (!back) return;
    for (const [name, entry] of before) page.session.change(name, entry, null);
    before.clear();
    // The button goes away: the focus goes to the one beside it.
    findMaybe(back.parentElement ?? root, "[data-try]")?.focus();
    mark(null);
  });

  const open = () => {
    const place = /^#try-[\w-]+$/.test(location.hash) ? findMaybe(root, location.hash) : null;
    const button = place && findMaybe(place, "button[data-try]");
    if (!button) return;
    run(button.dataset.try ?? "");
    mark(button);
  };
  window.addEventListener("hashchange", open);
  open();
}
