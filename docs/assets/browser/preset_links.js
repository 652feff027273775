// Experiments in the page's words: <a href="#…" data-try="name=value&other=value"> sets fields of the view and goes
// to the calculator. Without this module it is a link to it.

import { closestTo } from "./dom.js";

/** @import { Entry } from "./entry.js" */
/** @import { FormField } from "./form.js" */

/**
 * Listen for them. `fieldOf(name)` is the form's field; `change(name, entry)` enters a value.
 * @param {{ fieldOf: (name: string) => FormField | null, change: (name: string, entry: Entry) => void }} parts
 */
export function listenForPresets({ fieldOf, change }) {
  document.addEventListener("click", (event) => {
    const link = closestTo(event, "a[data-try]");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    for (const [name, typed] of new URLSearchParams(link.dataset.try)) {
      const field = fieldOf(name);
      // Only the view may be set so: what was entered of a bow is the reader's.
      if (field?.scope === "view" && "entryOf" in field) change(name, field.entryOf(typed));
    }
  });
}
