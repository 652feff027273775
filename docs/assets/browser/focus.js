// Where the reader is, when a list is made anew under their hands.

/** Which button or box of the list has the focus: {bow, act}, or null where none has. */
export function placeOfFocus(section) {
  const active = document.activeElement;
  const bow = section.contains(active) ? active.closest("[data-bow]") : null;
  return bow && { bow: bow.dataset.bow, act: active.dataset.act ?? null, tag: active.tagName };
}

/** Put it back there; where that is gone, to the bow's name or to the part's first heading. */
export function backToFocus(section, place) {
  if (place === null) return;
  const bow = section.querySelector(`[data-bow="${CSS.escape(place.bow)}"]`);
  const same = bow?.querySelector(place.act === null ? place.tag : `[data-act=${place.act}]`);
  (same ?? bow?.querySelector("h3") ?? section.querySelector("h2")).focus();
}
