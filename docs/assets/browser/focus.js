// Where the reader is, when a list or an answer is made anew under their hands.

import { find, findAll, findMaybe } from "./dom.js";

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

/**
 * Note what has the focus in one of these places, before they get other contents. The returned function lets the reader go
 * on where that is gone: at the spot that a pressed button names, or else at the heading above.
 * @param {Element[]} places
 * @returns {() => void}
 */
export function keepFocus(places) {
  const active = document.activeElement;
  const place = places.find((one) => one.contains(active));
  if (!place || !(active instanceof HTMLElement)) return () => {};
  const { then } = active.dataset;
  return () => {
    if (active.isConnected && !active.closest("[hidden]")) return;
    const spot = then === undefined ? null : findMaybe(document, `[data-spot="${CSS.escape(then)}"]:not([hidden])`);
    const next = spot ?? headingAbove(place);
    if (!next) return;
    next.tabIndex = -1;
    next.focus();
  };
}

/**
 * The last heading of the page that comes before a place; a heading of an answer may go as the place did.
 * @param {Element} place
 */
function headingAbove(place) {
  const headings = findAll(document, ":is(h1, h2, h3):not([data-spot] *, [data-zone] *)");
  return headings.findLast((one) => one.compareDocumentPosition(place) & Node.DOCUMENT_POSITION_FOLLOWING);
}
