// What is entered, in words, wherever the page says it: [data-words-of="FIELD"], or the first of several fields that has
// something, "FIELD OTHER"; where nothing is entered it says what it was built with.

import { findAll } from "./dom.js";

/** @import { PageForm } from "./page_form.js" */

/**
 * @param {HTMLElement} root
 * @param {PageForm} page
 */
export function showKnown(root, page) {
  const places = findAll(root, "[data-words-of]");
  const empty = new Map(places.map((place) => [place, place.textContent]));
  page.listen((answered) => {
    if (answered) return;
    for (const place of places) {
      const words = wordsOf(page, place.dataset.wordsOf ?? "");
      const text = words || (empty.get(place) ?? "");
      if (place.textContent !== text) place.textContent = text;
      place.classList.toggle("qt-nothing", words === "");
      place.classList.toggle("qt-absent", isAbsent(page, place.dataset.wordsOf ?? ""));
    }
  });
}

/**
 * What stands in the first of these fields that has something.
 * @param {PageForm} page
 * @param {string} names
 */
function wordsOf(page, names) {
  for (const name of names.split(" ")) {
    const field = page.form.fields.get(name);
    if (field && !field.element.hidden && field.words) return field.words;
  }
  return "";
}

/**
 * Whether none of these fields is asked at present.
 * @param {PageForm} page
 * @param {string} names
 */
function isAbsent(page, names) {
  return names.split(" ").every((name) => page.form.fields.get(name)?.element.hidden ?? true);
}
