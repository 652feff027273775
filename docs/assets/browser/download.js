// Save a text as a file. Nothing is sent anywhere: the file is made from an address inside this page, which is given
// up again.

import { make } from "./dom.js";

// A browser may still be reading from the address after the click; by then any has begun.
const KEEP = 60_000;

/**
 * @param {string} name
 * @param {string} text
 * @param {string} type
 */
export function download(name, text, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  make("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), KEEP);
}
