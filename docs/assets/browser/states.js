// Words that go with a state of the answer: "when" parts are open in their states and folded in all others, the lead gives
// way to the reader's own headline, and the verdict is folded away unless it has to be read first.

import { findAll, findMaybe } from "./dom.js";

/** @import { PageForm } from "./page_form.js" */

/**
 * @param {HTMLElement} root
 * @param {PageForm} page
 */
export function showStates(root, page) {
  const parts = findAll(root, "details[data-states]").filter((part) => part instanceof HTMLDetailsElement);
  const top = findMaybe(root, ".qt-lead");
  const verdict = findMaybe(root, ".qt-sure", HTMLDetailsElement);
  const main = page.calculators[0]?.name;
  for (const part of parts) part.open = false;
  page.listen((answered) => {
    // Entries that cannot be used leave the answer before them standing, and the words that go with it.
    if (!answered || ["", "refused"].includes(answered.state)) return;
    for (const part of parts) {
      const [widget, states = ""] = (part.dataset.states ?? "").split(":");
      if (widget === answered.name) part.open = states.split(",").includes(answered.state);
    }
    if (answered.name !== main || !top || !verdict) return;
    const headline = findMaybe(top, ".qt-headline");
    const isOwn = headline?.hidden === false;
    const isFirst = !isOwn && answered.state !== "example";
    // A reader who has opened or closed it themselves is left alone while nothing changes.
    if (top.classList.contains("qt-verdict-first") !== isFirst) verdict.open = isFirst;
    top.classList.toggle("qt-verdict-first", isFirst);
    top.classList.toggle("qt-own", isOwn || isFirst);
  });
}
