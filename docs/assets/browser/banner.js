// The place where the page says where its values come from, and asks before it replaces any.

import { button, list, make } from "./dom.js";

/** @import { Choice } from "./dom.js" */

export class Banner {
  /**
   * @param {HTMLElement} element
   * @param {string} label
   */
  constructor(element, label = "Where these values come from") {
    this.element = element;
    element.setAttribute("role", "group");
    element.setAttribute("aria-label", label);
    element.tabIndex = -1;
  }

  /**
   * Say something, with `notes` below it and `choices`: pairs of a button's text and what it does. Where the reader
   * has just pressed a button that this replaces, `focus` brings them along.
   * @param {string} text
   * @param {{ notes?: string[], choices?: Choice[], focus?: boolean }} more
   */
  show(text, { notes = [], choices = [], focus = false } = {}) {
    const items = make("ul");
    list(items, notes);
    const buttons = choices.map(([words, act, pressed]) => button(words, act, pressed));
    this.element.replaceChildren(make("p", { text }), ...(notes.length > 0 ? [items] : []), ...buttons);
    this.element.hidden = false;
    if (focus) this.element.focus();
  }

  hide() {
    this.element.hidden = true;
    this.element.replaceChildren();
  }
}
