// Small helpers for making parts of the page. Text goes in as text, never as HTML.

/** Make an element with a class, a text and children. */
export function make(tag, { className = "", text = "", ...properties } = {}, children = []) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (text) element.textContent = text;
  Object.assign(element, properties);
  element.append(...children);
  return element;
}

/** Find a part of a widget by its class, or make it and let `put` place it. */
export function part(section, className, tag, put) {
  const found = section.querySelector(`.${className}`);
  if (found) return found;
  const element = make(tag, { className, hidden: true });
  put(element);
  return element;
}

/** Show sentences as a list and hide the list when there are none. */
export function list(element, items) {
  element.replaceChildren(...items.map((item) => make("li", {}, [item])));
  element.hidden = items.length === 0;
}

/** A push button. */
export function button(text, act, pressed) {
  const element = make("button", { type: "button", className: "qt-button", text });
  element.dataset.act = act;
  if (pressed) element.addEventListener("click", pressed);
  return element;
}

/** Open whatever is folded around an element: what is folded away cannot take the focus. */
export function unfold(element) {
  for (let fold = element.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
}
