// Changes a live answer into a new one node by node, so that figures move instead of flashing and the reader's
// focus, open details, scroll and selection stay. Nodes match by id, else by tag and order among their siblings.

import { parseSanitised } from "./sanitise.js";

/**
 * Make `root` hold what the renderer's HTML says.
 * @param {Element} root
 * @param {string} html
 */
export function patch(root, html) {
  const keep = remember(root);
  patchChildren(root, parseSanitised(html));
  keep();
}

/**
 * Make `root` hold these pieces of HTML, an element each, where `known` are those it holds: most of an answer stays as
 * it is while a slider moves, and is not even read.
 * @param {Element} root
 * @param {string[]} pieces
 * @param {string[] | null} known
 */
export function patchPieces(root, pieces, known) {
  const elements = [...root.children];
  if (known?.length !== pieces.length || elements.length !== pieces.length) {
    patch(root, pieces.join(""));
    return;
  }
  // Asked for once: after a change of the page a selection costs a layout.
  const keep = remember(root);
  const whole = pieces.every((piece, place) => piece === known[place] || patchOne(elements[place], piece));
  keep();
  if (!whole) patch(root, pieces.join(""));
}

/**
 * Make one element what its HTML says; false, and nothing done, where that is another element.
 * @param {Element} element
 * @param {string} html
 */
function patchOne(element, html) {
  const [wanted, ...others] = parseSanitised(html).childNodes;
  if (!wanted || others.length > 0 || idOf(wanted) !== element.id || !isSameKind(element, wanted)) return false;
  patchNode(element, wanted);
  return true;
}

/**
 * @param {ParentNode & Node} oldParent
 * @param {ParentNode & Node} newParent
 */
function patchChildren(oldParent, newParent) {
  const wanted = [...newParent.childNodes];
  const matches = match([...oldParent.childNodes], wanted);
  const used = new Set(matches);
  // What goes, goes first: then the nodes that stay need not be moved, and a node that is not moved keeps the focus.
  for (const node of [...oldParent.childNodes]) if (!used.has(node)) node.remove();
  /** @type {ChildNode | null} */
  let place = oldParent.firstChild;
  wanted.forEach((node, index) => {
    const live = matches[index];
    if (live) patchNode(live, node);
    const placed = live ?? node;
    if (place && placed === place) place = place.nextSibling;
    else oldParent.insertBefore(placed, place);
  });
}

/**
 * For each wanted node the old node that becomes it, or null.
 * @param {ChildNode[]} old
 * @param {ChildNode[]} wanted
 * @returns {(ChildNode | null)[]}
 */
function match(old, wanted) {
  const byId = new Map(old.filter(idOf).map((node) => [idOf(node), node]));
  const pool = old.filter((node) => !idOf(node));
  return wanted.map((node) => {
    const id = idOf(node);
    if (id) {
      const live = byId.get(id);
      byId.delete(id);
      return live && isSameKind(live, node) ? live : null;
    }
    const index = pool.findIndex((live) => isSameKind(live, node));
    return index < 0 ? null : pool.splice(index, 1)[0];
  });
}

/** @param {Node} node */
function idOf(node) {
  return node instanceof Element ? node.id : "";
}

/**
 * @param {Node} one
 * @param {Node} other
 */
function isSameKind(one, other) {
  // The name tells the namespaces apart too: an <a> in a sentence is "A", in a picture "a".
  return one.nodeName === other.nodeName;
}

/**
 * @param {Node} live
 * @param {Node} node
 */
function patchNode(live, node) {
  // Most of what a changed piece holds has not changed, and the browser sees that faster than this module.
  if (live.isEqualNode(node)) return;
  if (live instanceof Element && node instanceof Element) {
    patchAttributes(live, node);
    patchChildren(live, node);
  } else if (live.nodeValue !== node.nodeValue) {
    live.nodeValue = node.nodeValue;
  }
}

/**
 * @param {Element} live
 * @param {Element} node
 */
function patchAttributes(live, node) {
  for (const { namespaceURI, localName, name, value } of [...node.attributes]) {
    if (isReaders(live, localName)) continue;
    if (live.getAttributeNS(namespaceURI, localName) !== value) live.setAttributeNS(namespaceURI, name, value);
  }
  // It has them all now: as many means the same ones.
  if (live.attributes.length === node.attributes.length) return;
  for (const { namespaceURI, localName } of [...live.attributes]) {
    if (isReaders(live, localName) || node.hasAttributeNS(namespaceURI, localName)) continue;
    live.removeAttributeNS(namespaceURI, localName);
  }
}

/**
 * Attributes that say what the reader did, not what the renderer wrote.
 * @param {Element} element
 * @param {string} name
 */
function isReaders(element, name) {
  return name === "open" && (element.localName === "details" || element.localName === "dialog");
}

// To ask for a selection costs a layout of the page, and hardly anyone has selected something while a slider moves.
let selects = false;
document.addEventListener("selectionchange", () => {
  selects = document.getSelection()?.isCollapsed === false;
});

/**
 * Note focus and selection inside `root`; the returned function puts back what the patch took away.
 * @param {Element} root
 */
function remember(root) {
  const { activeElement } = document;
  const active = isFocusable(activeElement) && root.contains(activeElement) ? activeElement : null;
  const putBackSelection = rememberSelection(root);
  return () => {
    if (active?.isConnected && document.activeElement !== active) active.focus({ preventScroll: true });
    putBackSelection();
  };
}

/**
 * @param {Element | null} element
 * @returns {element is HTMLElement | SVGElement}
 */
function isFocusable(element) {
  return element instanceof HTMLElement || element instanceof SVGElement;
}

/** @param {Element} root */
function rememberSelection(root) {
  const selection = selects ? document.getSelection() : null;
  if (!selection || selection.isCollapsed) return () => {};
  const { anchorNode, anchorOffset, focusNode, focusOffset } = selection;
  if (!anchorNode || !focusNode || !root.contains(anchorNode) || !root.contains(focusNode)) return () => {};
  return () => {
    if (!anchorNode.isConnected || !focusNode.isConnected) return;
    if (selection.anchorOffset === anchorOffset && selection.focusOffset === focusOffset) return;
    /**
     * A text may have become shorter than the old selection reached.
     * @param {Node} node
     * @param {number} offset
     */
    const within = (node, offset) => Math.min(offset, (node.nodeValue ?? node.childNodes).length);
    selection.setBaseAndExtent(anchorNode, within(anchorNode, anchorOffset), focusNode, within(focusNode, focusOffset));
  };
}
