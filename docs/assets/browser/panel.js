// What stands around a live answer: the summary of problems, the mark of an old answer, notes.

import { find, list, make, part } from "./dom.js";
import { placeOf } from "./entry.js";
import { patchPieces } from "./patch.js";

/** @import { Answer, Problem } from "./reply.js" */
/** @import { Place } from "./entry.js" */

/**
 * An answer that has its HTML.
 * @typedef {Answer & { html: string }} HtmlAnswer
 */

const OLD =
  "The answer below is to earlier values, not to those entered now: do not go by it. It stays until these can be answered.";

export class Panel {
  /**
   * `goTo(place)` takes the reader to a field, or to a box of it; `has(name)` tells whether this form has it.
   * @param {HTMLElement} section
   * @param {{ goTo: (place: Place) => void, has: (name: string) => boolean }} parts
   */
  constructor(section, { goTo, has }) {
    this.answer = find(section, ".qt-answer");
    this.base = section.dataset.base ?? "./";
    this.goTo = goTo;
    this.has = has;
    /**
     * The pieces of HTML that the answer stands in; null before the first one.
     * @type {string[] | null}
     */
    this.pieces = null;
    /** @param {HTMLElement} element */
    const before = (element) => this.answer.before(element);
    this.summary = part(section, "qt-summary", "div", before);
    this.notes = part(section, "qt-notes", "ul", before);
    this.old = part(section, "qt-old-note", "p", before);
    this.summary.setAttribute("role", "group");
    this.summary.setAttribute("aria-label", "What cannot be used");
  }

  /**
   * A whole answer.
   * @param {HtmlAnswer} answer
   */
  show({ html, cuts, state }) {
    this.#patch(this.#pieces(html, cuts).map((piece) => piece ?? ""), state);
  }

  /**
   * An answer of which some pieces are still to come; false where it cannot be shown without them.
   * @param {HtmlAnswer} answer
   */
  showFirst({ html, cuts, state }) {
    const { pieces: known } = this;
    const pieces = this.#pieces(html, cuts);
    if (known?.length !== pieces.length) return false;
    this.#patch(pieces.map((piece, place) => piece ?? known[place]), state);
    return true;
  }

  /**
   * The renderer does not know how deep the page lies.
   * @param {string} html
   * @param {Answer["cuts"]} cuts
   */
  #pieces(html, cuts) {
    return cut(html, cuts).map((piece) => piece?.replaceAll("@qt-base@", this.base) ?? null);
  }

  /**
   * Only what changed: most of an answer stays as it is while a slider moves.
   * @param {string[]} pieces
   * @param {string} [state]
   */
  #patch(pieces, state) {
    this.summary.hidden = true;
    this.#mark(false);
    patchPieces(this.answer, pieces, this.pieces);
    this.pieces = pieces;
    // For style sheets and tests: which kind of answer stands here.
    this.answer.dataset.state = state ?? "";
  }

  /**
   * No answer to these values: the last good one stays, marked in words and not by colour alone.
   * @param {Problem[]} problems
   */
  problems(problems) {
    const heading = problems.length === 1 ? "One entry cannot be used:" : `${problems.length} entries cannot be used:`;
    const items = make("ul");
    list(items, problems.map((problem) => this.#item(problem)));
    this.summary.replaceChildren(make("p", { text: heading }), items);
    this.summary.hidden = false;
    this.#mark(true);
  }

  /**
   * The calculator itself has no answer: one sentence.
   * @param {string} sentence
   */
  refuse(sentence) {
    this.summary.replaceChildren(make("p", { text: sentence }));
    this.summary.hidden = false;
    this.#mark(true);
  }

  /** The answer is still owed. */
  outdated() {
    this.#mark(true);
  }

  /** @param {string[]} sentences */
  note(sentences) {
    list(this.notes, sentences);
  }

  /** @param {Problem} problem */
  #item({ field, sentence }) {
    const place = placeOf(field);
    if (!this.has(place.name)) return sentence;
    const link = make("a", { href: `#field-${place.name}`, text: sentence });
    link.addEventListener("click", (event) => {
      // Without following it: the address may carry a link's values in its fragment.
      event.preventDefault();
      this.goTo(place);
    });
    return link;
  }

  /** @param {boolean} old */
  #mark(old) {
    this.answer.classList.toggle("qt-old", old);
    this.old.textContent = OLD;
    this.old.hidden = !old;
  }
}

/**
 * The html in the pieces whose lengths are given, in characters, null for one still to come; as one piece where they do
 * not add up.
 * @param {string} html
 * @param {Answer["cuts"]} cuts
 */
function cut(html, cuts) {
  const lengths = cuts ?? [];
  // Python counts characters, this language halves of some of them.
  let whole = 0;
  for (const length of lengths) whole += length ?? 0;
  if (whole !== html.length) return [html];
  let start = 0;
  return lengths.map((length) => (length === null ? null : html.slice(start, (start += length))));
}
