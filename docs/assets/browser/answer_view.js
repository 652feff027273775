// Where one calculator's answer stands on the page: its pieces, each at its own place, or with others of its zone.

import { findAll } from "./dom.js";
import { keepFocus } from "./focus.js";
import { patch, patchPieces } from "./patch.js";

/** @import { Answer } from "./reply.js" */

/**
 * An answer that has its HTML.
 * @typedef {Answer & { html: string }} HtmlAnswer
 */

/**
 * A piece of an answer: its name, the zone it belongs in, and its HTML, null for one still to come.
 * @typedef {{ name: string, zone: string, html: string | null }} Piece
 */

/** A container of several pieces, in order; what it holds, null before the first answer. */
class Container {
  /** @param {Element} element */
  constructor(element) {
    this.element = element;
    /** @type {string[] | null} */
    this.known = null;
  }

  /** @param {string[]} pieces */
  show(pieces) {
    patchPieces(this.element, pieces, this.known);
    this.known = pieces;
  }
}

export class AnswerView {
  /**
   * Spots are elements with data-spot="WIDGET/NAME", containers those with data-zone="WIDGET/ZONE".
   * @param {HTMLElement} root
   * @param {string} name
   */
  constructor(root, name) {
    this.base = root.dataset.base ?? "./";
    const start = `${name}/`;
    const spots = findAll(root, `[data-spot^="${start}"]`);
    this.spots = new Map(spots.map((spot) => [(spot.dataset.spot ?? "").slice(start.length), spot]));
    const zones = findAll(root, `[data-zone^="${start}"]`);
    this.zones = new Map(zones.map((zone) => [(zone.dataset.zone ?? "").slice(start.length), new Container(zone)]));
    /**
     * What stands there, by the pieces' names; empty before the first answer.
     * @type {Map<string, string>}
     */
    this.known = new Map();
  }

  /** All places of this answer. */
  get places() {
    return [...this.spots.values(), ...[...this.zones.values()].map(({ element }) => element)];
  }

  /**
   * A whole answer.
   * @param {HtmlAnswer} answer
   */
  show(answer) {
    this.#put(piecesOf(answer), answer.state ?? "");
  }

  /**
   * An answer of which some pieces are still to come; false where it cannot be shown without them.
   * @param {HtmlAnswer} answer
   */
  showFirst(answer) {
    const pieces = piecesOf(answer);
    if (pieces.some(({ name, html }) => html === null && !this.known.has(name))) return false;
    this.#put(pieces, answer.state ?? "");
    return true;
  }

  /**
   * @param {Piece[]} pieces
   * @param {string} state
   */
  #put(pieces, state) {
    const goOn = keepFocus(this.places);
    /** @type {Map<Container, string[]>} */
    const together = new Map([...this.zones.values()].map((zone) => [zone, []]));
    const now = new Map();
    for (const { name, zone, html } of pieces) {
      // The renderer does not know how deep the page lies.
      const text = html?.replaceAll("@qt-base@", this.base) ?? this.known.get(name) ?? "";
      now.set(name, text);
      const spot = this.spots.get(name);
      if (spot) this.#fill(spot, text, this.known.get(name));
      else if (text !== "") together.get(this.#containerOf(zone))?.push(text);
    }
    // What this answer does not have at all is not left standing from the one before.
    for (const [name, spot] of this.spots) if (!now.has(name)) this.#fill(spot, "", this.known.get(name));
    for (const [container, texts] of together) container.show(texts);
    this.known = now;
    goOn();
    // For style sheets and tests: which kind of answer stands here. With a headline it is no longer the example's alone.
    const kind = state === "example" && now.get("headline") ? "begun" : state;
    for (const place of this.places) if (place instanceof HTMLElement) place.dataset.state = kind;
  }

  /**
   * Only what changed: most of an answer stays as it is while a slider moves.
   * @param {HTMLElement} spot
   * @param {string} html
   * @param {string} [known]
   */
  #fill(spot, html, known) {
    spot.hidden = html === "";
    if (html !== known) patch(spot, html);
  }

  /**
   * @param {string} zone
   * @returns {Container}
   */
  #containerOf(zone) {
    // The verdict of a calculator that is not the page's first stands above its numbers.
    const name = zone === "verdict" ? "rest" : zone;
    const found = zone === "aside" ? undefined : this.zones.get(name);
    // A piece that the page has no place for.
    return /** @type {Container} */ (found);
  }

  /**
   * Mark what stands here as the answer to earlier values, or take the mark away.
   * @param {boolean} old
   */
  mark(old) {
    for (const place of this.places) place.classList.toggle("qt-old", old);
  }
}

/**
 * The pieces of an answer; all of it as one where it is not cut.
 * @param {HtmlAnswer} answer
 * @returns {Piece[]}
 */
function piecesOf({ html, cuts = [], places = [] }) {
  if (places.length === 0) return [{ name: "numbers", zone: "rest", html }];
  let start = 0;
  return places.map(([name, zone], at) => {
    const length = cuts[at];
    return { name, zone, html: length === null ? null : html.slice(start, (start += length)) };
  });
}
