// Where the reader is, when a list is made anew under their hands.

import { find, findMaybe } from "./dom.js";

/** @typedef {{ bow: string, act: string | null, tag: string }} FocusPlace */

/**
 * Which button or box of the list has the focus, or null where none has.
 * @param {HTMLElement} section
 * @returns {FocusPlace | null}
 */
export function placeOfFocus(section) {
  const active = document.activeElement;
  if (!(active instanceof HTMLElement) || !section.contains(active)) return null;
  const bow = active.closest("[data-bow]");
  if (!(bow instanceof HTMLElement)) return null;
  return { bow: bow.dataset.bow ?? "", act: active.dataset.act ?? null, tag: active.tagName };
}

/**
 * Put it back there; where that is gone, to the bow's name or to the part's first heading.
 * @param {HTMLElement} section
 * @param {FocusPlace | null} place
 */
export function backToFocus(section, place) {
  if (place === null) return;
  const bow = findMaybe(section, `[data-bow="${CSS.escape(place.bow)}"]`);
  const same = bow && findMaybe(bow, place.act === null ? place.tag : `[data-act=${place.act}]`);
  (same ?? (bow && findMaybe(bow, "h3")) ?? find(section, "h3")).focus();
}
