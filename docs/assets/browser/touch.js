// A finger that comes down on a slider, or on a picture that is dragged, may only want to scroll the page, and browsers
// move a slider at the first touch. What a touch enters is pending until the finger is lifted or has moved sideways.
// Where the browser takes the touch to scroll or to zoom, the slider goes back and nothing was entered. The listeners
// are the document's, so that no slider can be forgotten. Mouse, keyboard and screen readers do not come by here.

import { closestTo } from "./dom.js";

// So far does a finger move that only rests, in pixels, and so many times as far sideways as up or down in a drag.
const SLOP = 12;
const LEVEL = 2;

/**
 * The touches of sliders, by slider, until the last finger is lifted.
 * @type {Map<EventTarget | null, Touch>}
 */
const touches = new Map();

/**
 * Whether an event is of a finger or a pen, with which a page is scrolled too.
 * @param {PointerEvent} event
 */
export function isTouch({ pointerType }) {
  return pointerType === "touch" || pointerType === "pen";
}

/**
 * Move a slider; where a finger is on it, once that is lifted and has not entered another value.
 * @param {HTMLInputElement} slider
 * @param {string | number} value
 */
export function setSlider(slider, value) {
  const touch = touches.get(slider);
  if (touch?.gesture.isDown) touch.before = String(value);
  else slider.value = String(value);
}

/** One finger's way over the page: pending, then a drag or a tap, which enter something, or cancelled. */
export class Gesture {
  /** @type {"pending" | "drag" | "done" | "cancelled"} */
  #state = "pending";

  /** @param {PointerEvent} event */
  constructor({ pointerId, clientX, clientY }) {
    this.pointerId = pointerId;
    this.clientX = clientX;
    this.clientY = clientY;
  }

  get isPending() {
    return this.#state === "pending";
  }

  get isCancelled() {
    return this.#state === "cancelled";
  }

  /** Whether the finger is down, and is not scrolling. */
  get isDown() {
    return this.isPending || this.#state === "drag";
  }

  /**
   * The finger moved; whether it is a drag.
   * @param {PointerEvent} event
   */
  move(event) {
    const [dx, dy] = this.#way(event);
    if (this.isPending && dx > SLOP && dx > LEVEL * dy) this.#state = "drag";
    return this.#state === "drag";
  }

  /**
   * The finger is lifted; whether this was a tap or a drag. One that moved up or down would have scrolled a longer page.
   * @param {PointerEvent} event
   */
  lift(event) {
    const [dx, dy] = this.#way(event);
    if (this.isPending && dy > SLOP && dy > dx) this.cancel();
    if (this.isCancelled) return false;
    this.#state = "done";
    return true;
  }

  /** The browser takes the touch, or a second finger came. What a drag has entered stays. */
  cancel() {
    if (this.isPending) this.#state = "cancelled";
  }

  /** @param {PointerEvent} event */
  #way({ clientX, clientY }) {
    return [Math.abs(clientX - this.clientX), Math.abs(clientY - this.clientY)];
  }
}

/** A touch of a slider, and whether it would enter something. */
class Touch {
  #hasInput = false;

  /**
   * @param {HTMLInputElement} slider
   * @param {PointerEvent} event
   */
  constructor(slider, event) {
    this.slider = slider;
    this.gesture = new Gesture(event);
    // Where the slider would be without this touch.
    this.before = slider.value;
  }

  /** @param {PointerEvent} event */
  move(event) {
    if (this.gesture.move(event)) this.#enter();
  }

  /** @param {PointerEvent} event */
  lift(event) {
    if (this.gesture.lift(event)) this.#enter();
    else this.cancel();
  }

  cancel() {
    this.gesture.cancel();
    if (this.gesture.isCancelled) this.slider.value = this.before;
  }

  /**
   * The slider's own event: nobody hears it yet, or ever.
   * @param {Event} event
   */
  hear(event) {
    if (!this.gesture.isPending && !this.gesture.isCancelled) return;
    event.stopImmediatePropagation();
    this.#hasInput = true;
    if (this.gesture.isCancelled) this.slider.value = this.before;
  }

  #enter() {
    if (this.#hasInput) this.slider.dispatchEvent(new Event("input", { bubbles: true }));
    this.#hasInput = false;
  }
}

/** Hold back what touches of sliders enter, for every slider of the page, now and later. */
export function holdBackTouches() {
  /**
   * @template {keyof DocumentEventMap} K
   * @param {K} kind
   * @param {(event: DocumentEventMap[K]) => void} heard
   */
  const listen = (kind, heard) => document.addEventListener(kind, heard, { capture: true, passive: true });
  /** @param {PointerEvent} event */
  const touchOf = ({ pointerId }) => [...touches.values()].find(({ gesture }) => gesture.pointerId === pointerId);

  listen("pointerdown", (event) => {
    const isFirst = !isTouch(event) || event.isPrimary;
    if (isFirst) forget();
    else cancelAll();
    const slider = isTouch(event) ? closestTo(event, "input[type=range]") : null;
    if (!(slider instanceof HTMLInputElement) || touches.has(slider)) return;
    touches.set(slider, new Touch(slider, event));
    // Two fingers zoom, and no finger of two enters anything.
    if (!isFirst) cancelAll();
  });
  listen("pointermove", (event) => touchOf(event)?.move(event));
  listen("pointerup", (event) => touchOf(event)?.lift(event));
  listen("pointercancel", (event) => touchOf(event)?.cancel());
  listen("touchcancel", cancelAll);
  for (const kind of /** @type {const} */ (["input", "change"])) listen(kind, (event) => touches.get(event.target)?.hear(event));
  for (const kind of /** @type {const} */ (["touchend", "touchcancel"])) {
    listen(kind, (event) => {
      // The slider's own last event comes after this one.
      const ended = event.touches.length === 0 ? [...touches.values()] : [];
      setTimeout(() => forget(ended));
    });
  }
  // A key moves a slider again, even where a browser never told the end of a touch.
  listen("keydown", () => forget([...touches.values()].filter(({ gesture }) => gesture.isCancelled)));
}

function cancelAll() {
  for (const touch of touches.values()) touch.cancel();
}

function forget(ended = [...touches.values()]) {
  for (const touch of ended) if (touches.get(touch.slider) === touch) touches.delete(touch.slider);
}
