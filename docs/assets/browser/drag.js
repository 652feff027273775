// Pictures that can be turned by hand: a group with data-drag-field sets that field where it is tapped or dragged.
// The field's own slider does the same by keyboard.

import { Gesture, isTouch, setSlider } from "./touch.js";
import { InputField } from "./form_fields.js";
import { findAll } from "./dom.js";
import { formatTyped } from "./number.js";

// A picture true to scale moves little for a turn: the hand has to go this many times as far.
const GEAR = 4;

/** @import { Entry } from "./entry.js" */
/** @import { FormField } from "./form.js" */

/**
 * A picture that is being dragged: what it was grabbed at and the value of then, or null where it goes to the pointer; the
 * text that was entered last; which pointer it is, and a finger's gesture.
 * @typedef {object} Held
 * @property {SVGGraphicsElement} group
 * @property {{ at: number, value: number } | null} from
 * @property {string | null} typed
 * @property {number} pointer
 * @property {Gesture | null} gesture
 */

/**
 * Let the pictures of a section be dragged. `fieldOf(name)` is the form's field; `change(name, entry)` enters it.
 * @param {HTMLElement} section
 * @param {{ fieldOf: (name: string) => FormField | null, change: (name: string, entry: Entry) => void }} parts
 */
export function letDrag(section, { fieldOf, change }) {
  /** @type {Held | null} */
  let held = null;
  takeGrips(section);

  /** @param {string | undefined} name */
  const slidingField = (name) => {
    const field = fieldOf(name ?? "");
    return field instanceof InputField && field.slider ? { field, slider: field.slider } : null;
  };

  /**
   * @param {Held} picture
   * @param {PointerEvent} event
   */
  const set = (picture, event) => {
    const { dragField, dragAxis, dragOrigin, dragScale, dragLow, dragHigh, dragUnit } = picture.group.dataset;
    const found = slidingField(dragField);
    const at = place(picture.group, event)?.[dragAxis === "y" ? "y" : "x"];
    if (!found || at === undefined) return;
    const value = picture.from
      ? picture.from.value + (at - picture.from.at) / Number(dragScale) / GEAR
      : (at - Number(dragOrigin)) / Number(dragScale);
    const within = Math.min(Math.max(value, Number(dragLow)), Number(dragHigh));
    // The picture's unit, which need not be the box's.
    const unit = dragUnit ?? found.field.unit;
    const { step, decimals } = found.slider.stepsIn(unit);
    const typed = formatTyped(Math.round(within / step) * step, decimals);
    // A reader who held still has changed nothing.
    if (typed === picture.typed) return;
    picture.typed = typed;
    change(found.field.name, found.field.entryOf(typed, unit));
  };

  // The slider under a picture, for a keyboard and for a thumb.
  section.addEventListener("input", (event) => {
    const hand = event.target;
    const found = hand instanceof HTMLInputElement ? slidingField(hand.dataset.hand) : null;
    if (!(hand instanceof HTMLInputElement) || !found) return;
    const { field, slider } = found;
    change(field.name, field.entryOf(formatTyped(hand.value, slider.stepsIn(field.unit).decimals)));
  });
  section.addEventListener("pointerdown", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    const group = target?.closest("[data-drag-field]");
    if (!target || !(group instanceof SVGGraphicsElement) || !event.isPrimary || event.button !== 0) return;
    const upright = group.dataset.dragAxis === "y";
    // A finger that only scrolls the page past an upright picture must not turn it: there the bolt itself is held.
    if (upright && isTouch(event) && !target.closest(".qt-grip")) return;
    held = { group, from: null, typed: null, pointer: event.pointerId, gesture: null };
    const standing = slidingField(group.dataset.dragField)?.slider.control.value ?? 0;
    if (upright) held.from = { at: place(group, event)?.y ?? 0, value: Number(standing) };
    else if (isTouch(event)) held.gesture = new Gesture(event);
    else set(held, event);
    group.ownerSVGElement?.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  section.addEventListener("pointermove", (event) => {
    if (held?.pointer === event.pointerId && (held.gesture?.move(event) ?? true)) set(held, event);
  });
  section.addEventListener("pointerup", (event) => {
    if (held?.pointer !== event.pointerId) return;
    if (held.gesture?.lift(event)) set(held, event);
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

/**
 * After an answer: the sliders under its pictures stand where it says, but for one that is being moved.
 * @param {ParentNode} section
 */
export function followHands(section) {
  takeGrips(section);
  for (const hand of findAll(section, "[data-hand]")) {
    if (hand instanceof HTMLInputElement && hand !== document.activeElement) setSlider(hand, hand.defaultValue);
  }
}

/**
 * A finger on a grip does not scroll. Of a picture's parts a browser learns that by the event alone.
 * @param {ParentNode} section
 */
function takeGrips(section) {
  for (const grip of section.querySelectorAll(".qt-grip")) {
    if (grip instanceof SVGElement) grip.addEventListener("touchstart", hold, { passive: false });
  }
}

// One function for all, so that a grip has it once however often it is added.
/** @param {TouchEvent} event */
function hold(event) {
  if (event.touches.length === 1 && event.cancelable) event.preventDefault();
}

/**
 * Where a pointer is in a group's own units.
 * @param {SVGGraphicsElement} group
 * @param {PointerEvent} event
 */
function place(group, event) {
  const matrix = group.getScreenCTM();
  if (!matrix) return undefined;
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  return { x, y };
}
