// A bare page, in a frame of somebody else's page. Links open pages of their own, for no other page may be framed, but
// for those to a place on this one. The page around it is told how tall this one is, nothing else, and is not listened to.

import { find } from "./dom.js";

// The whole page, of which this is the bare one: they lie in one folder.
const WHOLE = new URL("./", location.href);

const TALL = "qt-bare-tall";

const body = document.body;
const whole = find(document, ".qt-bare-whole");

document.addEventListener("click", aim, { capture: true });
for (const kind of ["pointerdown", "focusin"]) document.addEventListener(kind, noteTouch, { capture: true });
new ResizeObserver(measure).observe(whole);
window.addEventListener("resize", measure);

/**
 * Send a link where it belongs before the browser follows it; also one that an answer has put there.
 * @param {Event} event
 */
function aim({ target }) {
  const link = target instanceof Element ? target.closest("a[href]") : null;
  if (!link) return;
  const place = placeHere(link.getAttribute("href") ?? "");
  link.setAttribute("target", place ? "_self" : "_blank");
  if (!place) return;
  link.setAttribute("href", place);
  // A frame that does not scroll is scrolled in by the page around it, which a link does not move.
  if (body.classList.contains(TALL)) setTimeout(() => document.getElementById(place.slice(1))?.scrollIntoView());
}

/**
 * The place on this page that an address leads to, "#…"; "" where it leads elsewhere.
 * @param {string} href
 */
function placeHere(href) {
  const { origin, pathname, search, hash } = new URL(href, location.href);
  if (origin !== location.origin || ![location.pathname, WHOLE.pathname].includes(pathname)) return "";
  return ["", location.search].includes(search) ? hash : "";
}

/** Tell how tall the page is; a frame that is as tall does not scroll, and what is said must not stand at its far end. */
function measure() {
  const height = Math.ceil(whole.getBoundingClientRect().height);
  body.classList.toggle(TALL, window.innerHeight >= height);
  if (window.parent !== window) window.parent.postMessage({ frameHeight: height }, "*");
}

/**
 * Where the reader is, px from the top: what a button did is said there.
 * @param {Event} event
 */
function noteTouch({ target }) {
  if (!(target instanceof Element)) return;
  const { bottom } = target.getBoundingClientRect();
  const last = whole.getBoundingClientRect().height - 120;
  body.style.setProperty("--qt-touched", `${Math.round(Math.min(bottom + window.scrollY, last))}px`);
}
