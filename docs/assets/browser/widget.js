// One calculator on the page: its form, its answer, its buttons. It knows how to ask and where to show, no more.

import { Form } from "./form.js";
import { Loading } from "./loading.js";
import { ELSEWHERE } from "./session.js";
import { Panel } from "./panel.js";
import { SITE } from "./site_paths.js";
import { Status } from "./status.js";
import { followHands, letDrag } from "./drag.js";
import { updateLiveText } from "./live_text.js";
import { button, closestTo, find, findAll, findMaybe, unfold } from "./dom.js";
import { today } from "./date_input.js";

/** @import { Answer } from "./reply.js" */
/** @import { Client, State } from "./client.js" */
/** @import { Entries } from "./entry.js" */
/** @import { Changed } from "./form.js" */
/** @import { Session } from "./session.js" */

/**
 * What the page's buttons do, by their data-act.
 * @typedef {{ [act: string]: (widget: Widget) => void }} Actions
 */

export class Widget {
  /**
   * `actions` maps the data-act of a button to what it does; each gets this widget.
   * @param {HTMLElement} section
   * @param {{ client: Client, session: Session, actions: Actions }} parts
   */
  constructor(section, { client, session, actions }) {
    this.section = section;
    this.client = client;
    this.session = session;
    this.status = new Status(find(section, ".qt-status"));
    /**
     * What the answer's buttons enter.
     * @type {{ [name: string]: Entries }}
     */
    this.offers = {};
    this.form = new Form(find(section, ".qt-form", HTMLFormElement), {
      changed: (name, entry, how) => this.#entered(name, entry, how),
      left: (name) => session.left(name),
      say: (text) => this.status.say(text, "form"),
    });
    this.panel = new Panel(section, {
      goTo: (place) => {
        const field = this.form.fields.get(place.name);
        if (!field) return;
        unfold(field.element);
        field.focus(place);
      },
      has: (name) => this.form.fields.has(name),
    });
    this.loading = new Loading(section, {
      retry: () => client.retry(),
      say: (text) => this.status.say(text, "trouble"),
    });
    client.listen((state) => {
      this.loading.show(state);
      if (!session.isEmpty) this.#inTrouble(state);
    });
    session.listen((names, source) => this.#changed(names, source));
    this.undo = this.#buttons(actions);
    letDrag(section, {
      fieldOf: (name) => this.form.fields.get(name) ?? null,
      change: (name, entry) => session.change(name, entry, null),
    });
  }

  get name() {
    return this.section.dataset.widget;
  }

  /** Show the session's record and, unless there is nothing to answer, ask. */
  begin() {
    this.form.write(this.session.shown);
    this.#showUndo();
    if (!this.session.isEmpty) this.ask();
  }

  /** Ask for the answer to the record as it is now. The newest question wins. */
  ask() {
    // Where the site lies: for a code on paper that opens the record here.
    const { shown: record } = this.session;
    const request = { ask: "answer", widget: this.name, record, address: SITE.href, today: today() };
    /** @param {Answer} answer */
    const more = (answer) => this.#showFirst(answer);
    this.client.ask(request, { key: `answer ${this.name}`, more }).then((answer) => this.#show(answer));
    this.#inTrouble(this.client.state);
  }

  /**
   * While something is wrong an answer is owed: what stands there is not about what was entered.
   * @param {State} state
   */
  #inTrouble({ sentence }) {
    if (sentence) this.panel.outdated();
  }

  /**
   * The reader entered something: a day that goes with it, and is not there yet, is today.
   * @type {Changed}
   */
  #entered(name, entry, how) {
    const undoes = this.session.change(name, entry, this, how);
    const day = this.form.fields.get(name)?.datedBy;
    // An edit that was begun for another bow goes to that one, and so does not date this one.
    const isOfThisBow = !this.session.stale?.has(name);
    if (day && isOfThisBow && entry !== null && !(day in this.session.shown)) {
      this.session.change(day, { typed: today() }, null);
    }
    return undoes;
  }

  /**
   * @param {Set<string>} names
   * @param {unknown} source
   */
  #changed(names, source) {
    // The form that the change came from holds it already; only what depends on it is shown anew.
    this.form.write(this.session.shown, source === this ? new Set() : names, { keepsEdited: source === ELSEWHERE });
    this.#showUndo();
    this.ask();
  }

  /**
   * What is quick of an answer: its verdict and its first picture move at once, the rest follows.
   * @param {Answer} answer
   */
  #showFirst(answer) {
    if (!hasHtml(answer) || !this.panel.showFirst(answer)) return;
    followHands(this.section);
    // For tests and measurements, as below.
    this.section.dataset.first = String(Number(this.section.dataset.first ?? 0) + 1);
  }

  /** @param {Answer | null} answer */
  #show(answer) {
    // A newer question took the place of this one; its answer is on the way.
    if (answer === null) return;
    const refusal = answer.refused ?? answer.broken;
    const problems = answer.problems ?? [];
    this.offers = answer.offers ?? {};
    for (const [name, entry] of Object.entries(answer.keeps ?? {})) this.session.change(name, entry, null);
    this.form.complain(problems);
    this.panel.note(answer.notes ?? []);
    if (refusal !== undefined) this.panel.refuse(refusal);
    else if (hasHtml(answer)) {
      this.panel.show(answer);
      followHands(this.section);
      updateLiveText(this.section);
    }
    if (problems.length > 0) this.panel.problems(problems);
    const line = refusal ?? answer.speak;
    if (line) this.status.say(line, "answer");
    // For tests: how many answers have been shown.
    this.section.dataset.answers = String(Number(this.section.dataset.answers ?? 0) + 1);
  }

  /**
   * Make the buttons work; the one for "Undo", where the page has buttons.
   * @param {Actions} actions
   */
  #buttons(actions) {
    const tools = findMaybe(this.section, ".qt-tools");
    if (tools && !tools.querySelector("[data-act=undo]")) tools.append(button("Undo", "undo"));
    // Buttons do nothing without this module, so the page is built with them hidden.
    for (const element of findAll(this.section, "[hidden]:is([data-act], .qt-tools)")) {
      if (element.dataset.act !== "unchoose") element.hidden = false;
    }
    tools?.addEventListener("click", (event) => {
      actions[closestTo(event, "[data-act]")?.dataset.act ?? ""]?.(this);
    });
    find(this.section, ".qt-answer").addEventListener("click", (event) => {
      const offer = closestTo(event, "[data-offer]")?.dataset.offer;
      if (offer !== undefined) this.#take(this.offers[offer]);
    });
    return tools && findMaybe(tools, "[data-act=undo]");
  }

  /**
   * Make the entries that a button of the answer offers.
   * @param {Entries | undefined} entries
   */
  #take(entries) {
    if (!entries) return;
    const undoes = this.session.changeAll(entries);
    this.status.say(undoes ? "Done. Undo takes it back." : "Done.", "form");
  }

  #showUndo() {
    if (!this.undo) return;
    const hide = !this.session.canUndo;
    // A button that goes away under the focus would send it to the top of the page.
    if (hide && this.undo === document.activeElement) findMaybe(this.section, "[data-act=clear]")?.focus();
    this.undo.hidden = hide;
  }
}

/**
 * @param {Answer} answer
 * @returns {answer is Answer & { html: string }}
 */
function hasHtml(answer) {
  return typeof answer.html === "string";
}
