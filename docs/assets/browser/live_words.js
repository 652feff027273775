// Numbers in the page's words that a calculator's answer moves: <em data-live="WIDGET/NAME"> is the text of that value.
// The build holds each against the answer to an empty record. Where the answer to the reader's own bow has no such value,
// as under a stop, the example's comes back, and the words around it say whose it is.

import { findAll, findMaybe, make } from "./dom.js";

const NOTE = "qt-live-note";
const EXAMPLE = "qt-live-example";

/**
 * What the build wrote.
 * @type {WeakMap<Element, string>}
 */
const built = new WeakMap();

/**
 * Follow an answer of this calculator that stands on the page.
 * @param {HTMLElement} root
 * @param {string} widget
 */
export function updateLiveWords(root, widget) {
  for (const place of findAll(root, `[data-live^="${widget}/"]`)) {
    const name = (place.dataset.live ?? "").slice(widget.length + 1);
    const value = findMaybe(root, `#${CSS.escape(`v-${widget}-${name}-figure`)}`);
    if (!built.has(place)) built.set(place, place.textContent ?? "");
    const text = value?.textContent ?? built.get(place) ?? "";
    if (place.textContent !== text) place.textContent = text;
    place.classList.toggle(EXAMPLE, value === null);
    note(place.closest("p, li, td") ?? place);
  }
}

/**
 * Say once, after these words, that numbers in them are an example's; or no longer.
 * @param {Element} words
 */
function note(words) {
  const there = findMaybe(words, `.${NOTE}`);
  if (!findMaybe(words, `.${EXAMPLE}`)) there?.remove();
  else if (!there) words.append(make("span", { className: NOTE, text: "These numbers are an example, not your bow." }));
}
