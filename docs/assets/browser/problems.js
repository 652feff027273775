// What of the entries cannot be used, and which answers are therefore old: said once for all calculators of a page.

import { find, list, make, part } from "./dom.js";
import { placeOf } from "./entry.js";

/** @import { Problem } from "./reply.js" */
/** @import { Place } from "./entry.js" */

const OLD =
  "The answer below is to earlier values, not to those entered now: do not go by it. It stays until these can be answered.";

export class Problems {
  /**
   * Sentences of each calculator, by its name.
   * @type {Map<string, { problems: Problem[], refusal: string | null, notes: string[], old: boolean }>}
   */
  #told = new Map();

  /**
   * `goTo(place)` takes the reader to a field, or to a box of it; `has(name)` tells whether the page has it.
   * @param {HTMLElement} root
   * @param {{ goTo: (place: Place) => void, has: (name: string) => boolean }} parts
   */
  constructor(root, { goTo, has }) {
    this.goTo = goTo;
    this.has = has;
    this.root = root;
    const answer = find(root, ".qt-answer");
    /** @param {HTMLElement} element */
    const before = (element) => answer.before(element);
    this.summary = part(root, "qt-summary", "div", before);
    this.notes = part(root, "qt-notes", "ul", before);
    this.old = part(root, "qt-old-note", "p", before);
    this.summary.setAttribute("role", "group");
    this.summary.setAttribute("aria-label", "What cannot be used");
  }

  /**
   * What one calculator says of the entries with its answer.
   * @param {string} name
   * @param {{ problems?: Problem[], refusal?: string | null, notes?: string[] }} told
   */
  tell(name, { problems = [], refusal = null, notes = [] }) {
    this.#told.set(name, { problems, refusal, notes, old: problems.length > 0 || refusal !== null });
    this.#show();
  }

  /**
   * The answer of a calculator is still owed.
   * @param {string} name
   */
  owed(name) {
    const known = this.#told.get(name) ?? { problems: [], refusal: null, notes: [], old: false };
    this.#told.set(name, { ...known, old: true });
    this.#show();
  }

  /** Every problem, once. */
  get all() {
    /** @type {Map<string, Problem>} */
    const found = new Map();
    for (const { problems } of this.#told.values()) {
      for (const problem of problems) found.set(`${problem.field} ${problem.sentence}`, problem);
    }
    return [...found.values()];
  }

  #show() {
    const told = [...this.#told.values()];
    const refusals = [...new Set(told.map(({ refusal }) => refusal).filter((one) => one !== null))];
    list(this.notes, [...new Set(told.flatMap(({ notes }) => notes))]);
    this.#summarise(this.all, refusals);
    const isOld = told.some(({ old }) => old);
    this.old.textContent = OLD;
    this.old.hidden = !isOld;
    this.root.classList.toggle("qt-has-old", isOld);
  }

  /**
   * @param {Problem[]} problems
   * @param {string[]} refusals
   */
  #summarise(problems, refusals) {
    this.summary.hidden = problems.length === 0 && refusals.length === 0;
    if (this.summary.hidden) return;
    const heading = problems.length === 1 ? "One entry cannot be used:" : `${problems.length} entries cannot be used:`;
    const items = make("ul");
    list(items, problems.map((problem) => this.#item(problem)));
    const words = refusals.map((text) => make("p", { text }));
    this.summary.replaceChildren(...words, ...(problems.length > 0 ? [make("p", { text: heading }), items] : []));
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
}
