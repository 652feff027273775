// What is entered, in words, wherever the page says it: [data-words-of="FIELD"], or the first of several fields that has
// something, "FIELD OTHER"; where nothing is entered it says what it was built with. What cannot be used says so.

import { findAll } from "./dom.js";

/** @import { PageForm } from "./page_form.js" */

/**
 * @param {HTMLElement} root
 * @param {PageForm} page
 */
export function showKnown(root, page) {
  const places = findAll(root, "[data-words-of]");
  const empty = new Map(places.map((place) => [place, place.textContent]));
  // An answer may tell of an entry that it cannot be used.
  page.listen(() => {
    for (const place of places) {
      const names = place.dataset.wordsOf ?? "";
      const field = firstEntered(page, names);
      const isWrong = field !== undefined && page.form.problems.has(field.name);
      const words = field ? `${field.words}${isWrong ? ": look again" : ""}` : (empty.get(place) ?? "");
      if (place.textContent !== words) place.textContent = words;
      place.classList.toggle("qt-nothing", !field);
      place.classList.toggle("qt-wrong", isWrong);
      place.classList.toggle("qt-absent", isAbsent(page, names));
    }
  });
}

/**
 * The first of these fields that is asked and has something.
 * @param {PageForm} page
 * @param {string} names
 */
function firstEntered(page, names) {
  const fields = names.split(" ").map((name) => page.form.fields.get(name));
  return fields.find((field) => field && !field.element.hidden && field.words);
}

/**
 * Whether none of these fields is asked at present.
 * @param {PageForm} page
 * @param {string} names
 */
function isAbsent(page, names) {
  return names.split(" ").every((name) => page.form.fields.get(name)?.element.hidden ?? true);
}
