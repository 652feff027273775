// Pictures that can be turned by hand: a group with data-drag-field sets that field where it is tapped or dragged.
// The field's own slider does the same by keyboard.

import { Gesture, isTouch, setSlider } from "./touch.js";
import { formatTyped } from "./number.js";

// A picture true to scale moves little for a turn: the hand has to go this many times as far.
const GEAR = 4;

/** Let the pictures of a section be dragged. `fieldOf(name)` is the form's field; `change(name, entry)` enters it. */
export function letDrag(section, { fieldOf, change }) {
  let held = null;
  takeGrips(section);

  const set = (event) => {
    const { dragField, dragAxis, dragOrigin, dragScale, dragLow, dragHigh } = held.group.dataset;
    const field = fieldOf(dragField);
    const at = place(held.group, event)?.[dragAxis];
    if (!field || at === undefined) return;
    const value = held.from
      ? held.from.value + (at - held.from.at) / Number(dragScale) / GEAR
      : (at - Number(dragOrigin)) / Number(dragScale);
    const within = Math.min(Math.max(value, Number(dragLow)), Number(dragHigh));
    const { step, decimals } = field.slider.steps;
    const typed = formatTyped(Math.round(within / step) * step, decimals);
    // A reader who held still has changed nothing.
    if (typed === held.typed) return;
    held.typed = typed;
    change(dragField, field.entryOf(typed));
  };

  // The slider under a picture, for a keyboard and for a thumb.
  section.addEventListener("input", (event) => {
    const field = fieldOf(event.target.dataset?.hand);
    if (field) change(field.name, field.entryOf(formatTyped(event.target.value, field.slider.steps.decimals)));
  });
  section.addEventListener("pointerdown", (event) => {
    const group = event.target.closest?.("[data-drag-field]");
    if (!group || !event.isPrimary || event.button !== 0) return;
    const upright = group.dataset.dragAxis === "y";
    // A finger that only scrolls the page past an upright picture must not turn it: there the bolt itself is held.
    if (upright && isTouch(event) && !event.target.closest(".qt-grip")) return;
    held = { group, from: null, typed: null, pointer: event.pointerId, gesture: null };
    if (upright) held.from = { at: place(group, event)?.y ?? 0, value: standing(fieldOf(group.dataset.dragField)) };
    else if (isTouch(event)) held.gesture = new Gesture(event);
    else set(event);
    group.ownerSVGElement.setPointerCapture?.(event.pointerId);
    event.preventDefault();
  });
  section.addEventListener("pointermove", (event) => {
    if (held?.pointer === event.pointerId && (held.gesture?.move(event) ?? true)) set(event);
  });
  section.addEventListener("pointerup", (event) => {
    if (held?.pointer !== event.pointerId) return;
    if (held.gesture?.lift(event)) set(event);
    held = null;
  });
  section.addEventListener("pointercancel", (event) => {
    if (held?.pointer === event.pointerId) held = null;
  });
  // A second finger, wherever it is, zooms: the first one turns nothing any more.
  document.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary) held = null;
  });
}

/** After an answer: the sliders under its pictures stand where it says, but for one that is being moved. */
export function followHands(section) {
  takeGrips(section);
  for (const hand of section.querySelectorAll("[data-hand]")) {
    if (hand !== document.activeElement) setSlider(hand, hand.getAttribute("value"));
  }
}

/** A finger on a grip does not scroll. Of a picture's parts a browser learns that by the event alone. */
function takeGrips(section) {
  for (const grip of section.querySelectorAll(".qt-grip")) grip.addEventListener("touchstart", hold, { passive: false });
}

// One function for all, so that a grip has it once however often it is added.
function hold(event) {
  if (event.touches.length === 1 && event.cancelable) event.preventDefault();
}

/** Where a pointer is in a group's own units. */
function place(group, event) {
  const matrix = group.getScreenCTM();
  if (!matrix) return undefined;
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  return { x, y };
}

/** Where a field's slider stands. */
function standing(field) {
  return Number(field?.slider?.control.value ?? 0);
}
