// One calculator of the page: it asks, and shows the answer where the page has places for it.

import { AnswerView } from "./answer_view.js";
import { SITE } from "./site_paths.js";
import { followHands } from "./drag.js";
import { today } from "./date_input.js";
import { updateLiveWords } from "./live_words.js";

/** @import { Answer } from "./reply.js" */
/** @import { Client, State } from "./client.js" */
/** @import { Entries } from "./entry.js" */
/** @import { PageForm } from "./page_form.js" */
/** @import { Session } from "./session.js" */

/**
 * What the page says of a calculator: its name, and the blocks that it shows, null for all.
 * @typedef {{ name: string, blocks: string[] | null }} Declared
 */

export class Calculator {
  #seen = true;

  /**
   * @param {HTMLElement} root
   * @param {Declared} declared
   * @param {{ client: Client, session: Session, page: PageForm }} parts
   */
  constructor(root, { name, blocks }, { client, session, page }) {
    this.root = root;
    this.name = name;
    this.blocks = blocks;
    this.client = client;
    this.session = session;
    this.page = page;
    this.view = new AnswerView(root, name);
    /**
     * What the answer's buttons enter.
     * @type {{ [name: string]: Entries }}
     */
    this.offers = {};
    /** Whether an answer is on its way: what its buttons would enter is not known yet. */
    this.isAsking = false;
    /** Whether it has answered at all: at first the built answer stands there. */
    this.hasAnswered = false;
    this.#watchSight();
    client.listen((state) => {
      if (!session.isEmpty) this.#inTrouble(state);
    });
  }

  /** Whether one of its places is on the screen. */
  get isSeen() {
    return this.#seen;
  }

  /** Ask for the answer to the record as it is now. The newest question wins. */
  ask() {
    const { shown: record } = this.session;
    // The units that the site begins with, where it names any; where it lies, for a code on paper that opens the record here.
    const { units } = this.root.dataset;
    const site = { units, address: SITE.href };
    const request = { ask: "answer", widget: this.name, record, ...site, today: today(), blocks: this.blocks };
    /** @param {Answer} answer */
    const more = (answer) => this.#showFirst(answer);
    this.isAsking = true;
    this.client.ask(request, { key: `answer ${this.name}`, more }).then((answer) => this.#show(answer));
    this.#inTrouble(this.client.state);
  }

  /**
   * While something is wrong an answer is owed: what stands there is not about what was entered.
   * @param {State} state
   */
  #inTrouble({ sentence }) {
    if (!sentence) return;
    this.view.mark(true);
    this.page.problems.owed(this.name);
  }

  /**
   * What is quick of an answer: its verdict and its first picture move at once, the rest follows.
   * @param {Answer} answer
   */
  #showFirst(answer) {
    if (!hasHtml(answer) || !this.view.showFirst(answer)) return;
    this.#follow();
    // For tests and measurements, as below.
    this.#count("first");
  }

  /** @param {Answer | null} answer */
  #show(answer) {
    // A newer question took the place of this one; its answer is on the way.
    if (answer === null) return;
    const refusal = answer.refused ?? answer.broken ?? null;
    const problems = answer.problems ?? [];
    this.offers = answer.offers ?? {};
    this.isAsking = false;
    this.hasAnswered = true;
    for (const [name, entry] of Object.entries(answer.keeps ?? {})) this.session.change(name, entry, null);
    if (refusal === null && hasHtml(answer)) {
      this.view.show(answer);
      updateLiveWords(this.root, this.name);
      this.#follow();
    }
    this.view.mark(refusal !== null || problems.length > 0);
    this.page.answered(this.name, { problems, refusal, notes: answer.notes ?? [] });
    const line = refusal ?? answer.speak;
    if (line) this.page.sayAnswer(this.name, line);
    // For tests: how many answers have been shown.
    this.#count("answers");
    this.page.settled(this.name, answer.state ?? "");
  }

  /** The sliders under the pictures of another calculator wait for that one's answer. */
  #follow() {
    for (const place of this.view.places) followHands(place);
  }

  /** @param {"first" | "answers"} what */
  #count(what) {
    const { dataset } = this.root;
    dataset[what] = String(Number(dataset[what] ?? 0) + 1);
  }

  /** Of the calculators of a page those on the screen are asked first. */
  #watchSight() {
    if (!("IntersectionObserver" in window)) return;
    /** @type {Set<Element>} */
    const inSight = new Set();
    const observer = new IntersectionObserver((changes) => {
      for (const { target, isIntersecting } of changes) {
        if (isIntersecting) inSight.add(target);
        else inSight.delete(target);
      }
      this.#seen = inSight.size > 0;
    });
    for (const place of this.view.places) observer.observe(place);
  }
}

/**
 * @param {Answer} answer
 * @returns {answer is Answer & { html: string }}
 */
function hasHtml(answer) {
  return typeof answer.html === "string";
}
