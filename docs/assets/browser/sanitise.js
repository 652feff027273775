// The second wall. The renderer escapes every text; should one ever slip through, nothing in it runs.

const NEVER = "script, style, iframe, frame, object, embed, base, meta, link, foreignObject, animate, set, portal";
const ADDRESSES = new Set(["href", "src", "action", "formaction", "data", "poster", "ping", "background"]);
const SAFE_SCHEMES = new Set(["http", "https", "mailto"]);

/**
 * Parse the renderer's HTML into a fragment that holds nothing that runs.
 * @param {string} html
 */
export function parseSanitised(html) {
  const template = document.createElement("template");
  // A template's content is inert: nothing in it loads or runs before it is put into the page.
  template.innerHTML = html;
  scrub(template.content);
  return template.content;
}

/** @param {DocumentFragment} root */
function scrub(root) {
  for (const element of root.querySelectorAll(NEVER)) element.remove();
  for (const element of root.querySelectorAll("*")) {
    for (const attribute of [...element.attributes]) {
      if (isForbidden(attribute)) element.removeAttributeNode(attribute);
    }
    if (element instanceof HTMLTemplateElement) scrub(element.content);
  }
}

/** @param {Attr} attribute */
function isForbidden({ localName, value }) {
  const name = localName.toLowerCase();
  // Style attributes are refused by the page's policy; dropping them here keeps the console quiet too.
  if (name.startsWith("on") || name === "style" || name === "srcdoc" || name === "srcset") return true;
  return ADDRESSES.has(name) && !isSafeAddress(value);
}

/**
 * Whether an address is relative or of a harmless scheme, read as a browser reads it: blanks and controls dropped.
 * @param {string} value
 */
export function isSafeAddress(value) {
  // eslint-disable-next-line no-control-regex -- they are what is dropped
  const bare = value.replace(/[\u0000-\u0020\u007f-\u00a0]/g, "").toLowerCase();
  const scheme = /^([a-z][a-z0-9+.-]*):/.exec(bare);
  return scheme === null || SAFE_SCHEMES.has(scheme[1]);
}
