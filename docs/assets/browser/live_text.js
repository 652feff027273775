// Numbers in the page's words: <em data-live="WIDGET/NAME"> shows what the widget's answer says for that value, so
// that the reader's number stands in the sentence too. Without an answer the built number stays.

import { findAll } from "./dom.js";

/**
 * Write the values of a live answer into the page's words.
 * @param {HTMLElement} section
 */
export function updateLiveText(section) {
  const { widget = "" } = section.dataset;
  for (const place of findAll(document, `[data-live^="${widget}/"]`)) {
    const name = (place.dataset.live ?? "").slice(widget.length + 1);
    const told = section.querySelector(`.qt-answer [data-name="${CSS.escape(name)}"] .qt-value-text`);
    if (told && place.textContent !== told.textContent) place.textContent = told.textContent;
  }
}
