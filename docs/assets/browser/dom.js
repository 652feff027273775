// Small helpers for finding and making parts of the page. Text goes in as text, never as HTML.

/**
 * A button of a sentence: its text, what it does in one word, and what happens when it is pressed.
 * @typedef {[text: string, act: string, pressed: () => void]} Choice
 */

/**
 * The first element that matches, or null where there is none of this kind.
 * @template {Element} [T=HTMLElement]
 * @param {ParentNode} root
 * @param {string} selector
 * @param {(new () => T)} [Kind]
 * @returns {T | null}
 */
export function findMaybe(root, selector, Kind) {
  const found = root.querySelector(selector);
  return found instanceof (Kind ?? HTMLElement) ? /** @type {T} */ (found) : null;
}

/**
 * The first element that matches: one that the page's template has.
 * @template {Element} [T=HTMLElement]
 * @param {ParentNode} root
 * @param {string} selector
 * @param {(new () => T)} [Kind]
 * @returns {T}
 */
export function find(root, selector, Kind) {
  const found = findMaybe(root, selector, Kind);
  if (!found) throw new Error(`The page has no ${selector}.`);
  return found;
}

/**
 * All HTML elements that match.
 * @param {ParentNode} root
 * @param {string} selector
 * @returns {HTMLElement[]}
 */
export function findAll(root, selector) {
  return [...root.querySelectorAll(selector)].filter((element) => element instanceof HTMLElement);
}

/**
 * The HTML element that matches, around an event's target or itself; null where there is none.
 * @param {Event} event
 * @param {string} selector
 */
export function closestTo(event, selector) {
  const found = event.target instanceof Element ? event.target.closest(selector) : null;
  return found instanceof HTMLElement ? found : null;
}

/**
 * Make an element with a class, a text and children.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {{ text?: string } & Partial<HTMLElementTagNameMap[K]>} properties
 * @param {(Node | string)[]} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function make(tag, { className = "", text = "", ...properties } = {}, children = []) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (text) element.textContent = text;
  Object.assign(element, properties);
  element.append(...children);
  return element;
}

/**
 * Find a part of a widget by its class, or make it and let `put` place it.
 * @param {ParentNode} section
 * @param {string} className
 * @param {keyof HTMLElementTagNameMap} tag
 * @param {(element: HTMLElement) => void} put
 * @returns {HTMLElement}
 */
export function part(section, className, tag, put) {
  const found = findMaybe(section, `.${className}`);
  if (found) return found;
  const element = make(tag, { className, hidden: true });
  put(element);
  return element;
}

/**
 * Show sentences as a list and hide the list when there are none.
 * @param {HTMLElement} element
 * @param {(Node | string)[]} items
 */
export function list(element, items) {
  element.replaceChildren(...items.map((item) => make("li", {}, [item])));
  element.hidden = items.length === 0;
}

/**
 * A push button.
 * @param {string} text
 * @param {string} act
 * @param {() => void} [pressed]
 */
export function button(text, act, pressed) {
  const element = make("button", { type: "button", className: "qt-button", text });
  element.dataset.act = act;
  if (pressed) element.addEventListener("click", pressed);
  return element;
}

/**
 * Mark a control as holding what cannot be used, or take the mark away.
 * @param {Element} control
 * @param {boolean} isInvalid
 */
export function markInvalid(control, isInvalid) {
  if (isInvalid) control.setAttribute("aria-invalid", "true");
  else control.removeAttribute("aria-invalid");
}

/**
 * Open whatever is folded around an element: what is folded away cannot take the focus.
 * @param {Element} element
 */
export function unfold(element) {
  let fold = element.closest("details");
  while (fold) {
    fold.open = true;
    fold = fold.parentElement?.closest("details") ?? null;
  }
}
