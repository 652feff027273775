// The steps at the bench: each is done when its readings can be used, or by its own tick, and is then one line with its
// value. The first that is not done is open. A step folds when the reader has gone on to a later one.

import { closestTo, findAll, findMaybe } from "./dom.js";

/** @import { PageForm } from "./page_form.js" */

/** One step of the page. */
class Step {
  /** @param {HTMLDetailsElement} element */
  constructor(element) {
    this.element = element;
    this.tick = findMaybe(element, "input[data-tick]", HTMLInputElement);
    this.mark = findMaybe(element, ".qt-step-mark");
  }

  /**
   * The fields it waits for; of a bolt's own only those of the bolt at hand, where one is named.
   * @param {string} bolt
   */
  needs(bolt) {
    const names = (this.element.dataset.needs ?? "").split(" ").filter(Boolean);
    const other = { upper: "lower_", lower: "upper_" }[bolt];
    return other ? names.filter((name) => !name.startsWith(other)) : names;
  }

  get isShown() {
    return !this.element.hidden;
  }
}

/**
 * @param {HTMLElement} root
 * @param {PageForm} page
 */
export function showSteps(root, page) {
  const elements = findAll(root, "details.qt-step").filter((one) => one instanceof HTMLDetailsElement);
  if (elements.length === 0) return;
  const steps = elements.map((element) => new Step(element));

  /** @param {Step} step */
  const isDone = (step) => {
    if (step.tick?.checked) return true;
    const fields = step.needs(root.dataset.bolt ?? "").map((name) => page.form.fields.get(name));
    const asked = fields.filter((field) => field && !field.element.hidden);
    return asked.length > 0 && asked.every((field) => field?.read() !== null && !page.form.problems.has(field?.name ?? ""));
  };

  let begun = false;
  const show = () => {
    const shown = steps.filter((step) => step.isShown);
    for (const [place, step] of shown.entries()) {
      const done = isDone(step);
      step.element.classList.toggle("qt-done", done);
      if (step.mark) step.mark.textContent = done ? "done" : "";
      const number = findMaybe(step.element, ".qt-step-number");
      if (number) number.textContent = String(place + 1);
    }
    openNext(shown);
    begun = true;
  };

  /**
   * The first step that is not done is open; nothing else is opened, and what the reader opened stays.
   * @param {Step[]} shown
   */
  const openNext = (shown) => {
    /** @param {Step} step */
    const isPast = ({ element }) => element.classList.contains("qt-done");
    const last = shown.findLastIndex((step) => isPast(step) && step.element.dataset.needs);
    // A step that waits for no reading has been passed where a later one has its readings.
    const next = shown.find((step, place) => !isPast(step) && (step.element.dataset.needs || place > last));
    if (!begun) for (const step of shown) step.element.open = step === next;
    else if (next) next.element.open = true;
  };

  // The numbers and what is done follow every change; an answer may say that a reading cannot be used.
  page.listen(show);
  root.addEventListener("change", (event) => {
    if (event.target instanceof HTMLInputElement && event.target.dataset.tick !== undefined) show();
  });
  root.addEventListener("focusin", (event) => {
    const at = steps.findIndex(({ element }) => event.target instanceof Node && element.contains(event.target));
    if (at > 0) foldBefore(steps.slice(0, at), event.target);
  });
  root.addEventListener("click", (event) => {
    if (!closestTo(event, "[data-act=all-steps]")) return;
    const all = steps.filter((step) => step.isShown);
    const open = all.some((step) => !step.element.open);
    for (const step of all) step.element.open = open;
  });
}

/**
 * Fold the steps that are done, and keep what the reader is in where it is on the screen.
 * @param {Step[]} steps
 * @param {EventTarget | null} target
 */
function foldBefore(steps, target) {
  const folding = steps.filter(({ element }) => element.open && element.classList.contains("qt-done"));
  if (folding.length === 0 || !(target instanceof Element)) return;
  const before = target.getBoundingClientRect().top;
  for (const { element } of folding) element.open = false;
  scrollBy({ top: target.getBoundingClientRect().top - before, behavior: "instant" });
}
