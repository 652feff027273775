// The link that this tab looks at, over its pages and reloads: what came with it, and what was changed of it here. The
// browser forgets it with the tab. Where nothing can be stored, only a page whose address has the link shows it.

import { storageKey } from "./site_paths.js";

/** @import { Entry } from "./entry.js" */

/**
 * A link's fragment without its #, and the entries that were changed since, null for those that were emptied.
 * @typedef {{ fragment: string, changed: { [name: string]: Entry | null } }} LookedAt
 */

const KEY = storageKey("link");

/**
 * The tab's storage, through which all goes; what is thrown there says that nothing can be stored.
 * @template T
 * @param {(storage: Storage) => T} act
 * @param {T} otherwise
 */
function stored(act, otherwise) {
  try {
    return act(window.sessionStorage);
  } catch {
    return otherwise;
  }
}

/** @param {LookedAt} link */
export function remember(link) {
  stored((storage) => storage.setItem(KEY, JSON.stringify(link)), undefined);
}

export function forget() {
  stored((storage) => storage.removeItem(KEY), undefined);
}

/**
 * What the tab looks at; null where it looks at no link, or nothing can be read.
 * @returns {LookedAt | null}
 */
export function remembered() {
  const link = stored((storage) => JSON.parse(storage.getItem(KEY) ?? "null"), null);
  const isOne = typeof link?.fragment === "string" && typeof link.changed === "object" && link.changed !== null;
  return isOne ? link : null;
}
