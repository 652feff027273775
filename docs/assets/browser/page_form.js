// All boxes of a page as one form, its buttons, and what is said of its entries; the calculators of the page answer it.

import { Calculator } from "./calculator.js";
import { ELSEWHERE } from "./session.js";
import { Form } from "./form.js";
import { Loading } from "./loading.js";
import { Problems } from "./problems.js";
import { Status } from "./status.js";
import { button, closestTo, find, findAll, findMaybe, unfold } from "./dom.js";
import { letDrag } from "./drag.js";
import { today } from "./date_input.js";

/** @import { Client } from "./client.js" */
/** @import { Declared } from "./calculator.js" */
/** @import { Entries, Place } from "./entry.js" */
/** @import { Changed } from "./form.js" */
/** @import { Problem } from "./reply.js" */
/** @import { Session } from "./session.js" */

/**
 * What the page's buttons do, by their data-act.
 * @typedef {{ [act: string]: (page: PageForm) => void }} Actions
 */

/** Hears when the record has changed or an answer has been shown; `answered` is the calculator's name, or null.
 * @typedef {(answered: { name: string, state: string } | null) => void} Listener
 */

/** Buttons that a field shows when there is something for them to do. */
const OWN_TIME = ["unchoose", "all-row"];

/** So many presses wait for an answer; more than that nobody means. */
const MOST_EARLY = 40;

export class PageForm {
  /** @type {Set<Listener>} */
  #listeners = new Set();
  /**
   * Buttons of answers, by their ids, that were pressed while an answer was on its way.
   * @type {string[]}
   */
  #early = [];

  /**
   * `actions` maps the data-act of a button to what it does; each gets this form.
   * @param {HTMLElement} root
   * @param {{ client: Client, session: Session, actions: Actions }} parts
   */
  constructor(root, { client, session, actions }) {
    this.section = root;
    this.client = client;
    this.session = session;
    this.status = new Status(find(root, ".qt-status:not(.qt-bows *)"));
    this.form = new Form(root, {
      changed: (name, entry, how) => this.#entered(name, entry, how),
      left: (name) => session.left(name),
      say: (text) => this.status.say(text, "form"),
    });
    this.problems = new Problems(root, {
      goTo: (place) => this.goTo(place),
      has: (name) => this.form.fields.has(name),
    });
    this.loading = new Loading(root, {
      retry: () => client.retry(),
      say: (text) => this.status.say(text, "trouble"),
    });
    client.listen((state) => this.loading.show(state));
    this.calculators = declaredOn(root).map((one) => new Calculator(root, one, { client, session, page: this }));
    session.listen((names, source) => this.#changed(names, source));
    this.undo = this.#buttons(actions);
    letDrag(root, {
      fieldOf: (name) => this.form.fields.get(name) ?? null,
      change: (name, entry) => session.change(name, entry, null),
    });
  }

  /**
   * Hear every change and every answer.
   * @param {Listener} listener
   */
  listen(listener) {
    this.#listeners.add(listener);
  }

  /** Show the session's record and, unless there is nothing to answer, ask. */
  begin() {
    this.form.write(this.session.shown);
    this.#showUndo();
    this.#tell(null);
    if (!this.session.isEmpty) this.#ask();
  }

  /**
   * Take the reader to a field, or to a box of it.
   * @param {Place} place
   */
  goTo(place) {
    const field = this.form.fields.get(place.name);
    if (!field) return;
    unfold(field.element);
    field.focus(place);
  }

  /**
   * What a calculator says of the entries.
   * @param {string} name
   * @param {{ problems: Problem[], refusal: string | null, notes: string[] }} told
   */
  answered(name, told) {
    this.problems.tell(name, told);
    this.form.complain(this.problems.all);
  }

  /**
   * A calculator's answer stands on the page.
   * @param {string} name
   * @param {string} state
   */
  settled(name, state) {
    this.#tell({ name, state });
    const early = document.getElementById(this.#early.shift() ?? "");
    if (early) this.#take(early);
  }

  /**
   * Of several calculators the first one's answer is spoken.
   * @param {string} name
   * @param {string} line
   */
  sayAnswer(name, line) {
    if (name === this.calculators[0].name) this.status.say(line, "answer");
  }

  #ask() {
    const order = [...this.calculators].sort((one, other) => Number(other.isSeen) - Number(one.isSeen));
    for (const calculator of order) calculator.ask();
  }

  /**
   * The reader entered something: a day that goes with it, and is not there yet, is today; so is an answer that it implies.
   * @type {Changed}
   */
  #entered(name, entry, how) {
    const undoes = this.session.change(name, entry, this, how);
    const field = this.form.fields.get(name);
    // An edit that was begun for another bow goes to that one, and so does not date this one.
    const isOfThisBow = !this.session.stale?.has(name);
    if (!field || !isOfThisBow || entry === null) return undoes;
    const day = field.datedBy;
    if (day && !(day in this.session.shown)) this.session.change(day, { typed: today() }, null);
    const [other, typed] = field.enters?.split("=") ?? [];
    if (other && typed !== undefined) this.session.change(other, { typed }, null);
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
    this.#tell(null);
    this.#ask();
  }

  /** @param {{ name: string, state: string } | null} answered */
  #tell(answered) {
    for (const listener of this.#listeners) listener(answered);
  }

  /**
   * Make the buttons work; the one for "Undo", where the page has buttons.
   * @param {Actions} actions
   */
  #buttons(actions) {
    const { section } = this;
    const tools = findMaybe(section, ".qt-tools:not(.qt-bows *)");
    if (tools && !tools.querySelector("[data-act=undo]")) tools.append(button("Undo", "undo"));
    // Buttons do nothing without this module, so the page is built with them hidden.
    for (const element of findAll(section, "[hidden]:is([data-act], .qt-tools):not(.qt-bows *)")) {
      if (!OWN_TIME.includes(element.dataset.act ?? "")) element.hidden = false;
    }
    section.addEventListener("click", (event) => {
      const act = closestTo(event, ".qt-tools:not(.qt-bows *) [data-act], .qt-act")?.dataset.act;
      if (act !== undefined) actions[act]?.(this);
      const offered = closestTo(event, "[data-offer]");
      if (offered) this.#take(offered);
      const asked = closestTo(event, "[data-to-field]");
      const place = { name: asked?.dataset.toField ?? "" };
      if (!asked || !this.form.fields.has(place.name) || event.ctrlKey || event.metaKey || event.shiftKey) return;
      // Here on this page: without following it, for the address may carry a link's values.
      event.preventDefault();
      this.goTo(place);
    });
    return tools && findMaybe(tools, "[data-act=undo]");
  }

  /**
   * Make the entries that a button of an answer offers.
   * @param {HTMLElement} pressed
   */
  #take(pressed) {
    const { offer = "" } = pressed.dataset;
    const calculator = this.calculators.find((one) => pressed.id.startsWith(`${one.name}-${offer}`));
    if (!calculator) return;
    // Pressed before there was an answer, or once more while the next one is on its way: its turn comes.
    if (calculator.isAsking ? "again" in pressed.dataset || !(offer in calculator.offers) : !calculator.hasAnswered) {
      if (this.#early.length < MOST_EARLY) this.#early.push(pressed.id);
      if (!calculator.isAsking) calculator.ask();
      return;
    }
    const entries = calculator.offers[offer];
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
 * The page's calculators, from data-calculators: "NAME" shows all of its answer, "NAME:BLOCK,BLOCK" these blocks.
 * @param {HTMLElement} root
 * @returns {Declared[]}
 */
function declaredOn(root) {
  return (root.dataset.calculators ?? "").split(" ").map((one) => {
    const [name, blocks] = one.split(":");
    return { name, blocks: blocks === undefined ? null : blocks.split(",") };
  });
}
