// Where the site lies. Everything is relative to this module, which is two folders below the site's root, so that
// the site works from a sub-folder and two sites of one host do not share their storage.

/** The site's root as an address ending in "/". */
export const SITE = new URL("../../", import.meta.url);

/**
 * A key for the browser's storage, prefixed by the site's path.
 * @param {string} name
 */
export function storageKey(name) {
  return `quarter-turn ${SITE.pathname} ${name}`;
}
