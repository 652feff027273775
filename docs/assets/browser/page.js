// The entry: makes the page's one session and one client, and a widget for every calculator on it.

import { Banner } from "./banner.js";
import { Client } from "./client.js";
import { Link, carriesValues } from "./link.js";
import { Notices } from "./notices.js";
import { Offline } from "./offline.js";
import { Widget } from "./widget.js";
import { beginBowsPage } from "./bows_page.js";
import { find, findAll, findMaybe } from "./dom.js";
import { copyLink } from "./share.js";
import { holdBackTouches } from "./touch.js";
import { showCurrentBow } from "./current_bow.js";
import { listenForPresets } from "./preset_links.js";
import { openSession } from "./open_session.js";
import { preparePrint } from "./print.js";
import { recoverRecord } from "./recovery.js";
import { saveCsv } from "./csv_export.js";

/** @import { Actions } from "./widget.js" */

const [section, ...sections] = findAll(document, ".qt-widget");
if (section) begin(section, sections);
const bows = findMaybe(document, ".qt-bows");
if (bows) beginBowsPage(bows);

/**
 * Start the page's calculators.
 * @param {HTMLElement} first
 * @param {HTMLElement[]} others
 */
function begin(first, others) {
  holdBackTouches();
  /** @type {Widget[]} */
  const widgets = [];
  /**
   * The field of this name, in the first form that has it.
   * @param {string} name
   */
  const fieldOf = (name) => widgets.map(({ form }) => form.fields.get(name)).find((field) => field !== undefined) ?? null;
  const limits = rowLimits(first);
  /**
   * A field that no form of this page shows is of the bow, as far as this page can know.
   * @param {string} name
   */
  const scopeOf = (name) => (limits.has(name) ? "home" : (fieldOf(name)?.scope ?? "bow"));
  const notices = new Notices(first, (text) => widgets[0].status.say(text));
  const { store, shelf, session } = openSession({
    version: Number(first.dataset.recordVersion ?? 1),
    say: (sentence) => notices.add(sentence),
    scopeOf,
    edited: () => new Map(widgets.flatMap(({ form }) => [...form.edited])),
    most: (name) => limits.get(name) ?? Infinity,
  });
  const runtime = new URL(first.dataset.runtime ?? "", document.baseURI);
  const client = new Client(new URL("worker.js", runtime), timesOf(first));
  /** @type {Actions} */
  const actions = {
    link: copyLink,
    csv: saveCsv,
    print: () => window.print(),
    undo: () => session.undo(),
    clear: () => {
      link.leave();
      session.clear();
    },
    offline: () => offline.ask(),
  };
  for (const each of [first, ...others]) widgets.push(new Widget(each, { client, session, actions }));
  /**
   * @param {string} text
   * @param {string} [topic]
   */
  const speak = (text, topic) => widgets[0].status.say(text, topic);
  const banner = new Banner(find(first, ".qt-banner"));
  const link = new Link({ banner, session, shelf, client, say: speak });
  const offline = new Offline(first, { runtime: runtime.href, say: speak });

  const early = widgets.flatMap((widget) => Object.entries(widget.form.read()));
  const recoverable = store.load();
  // What was typed before this module arrived is newer than what was kept.
  for (const [name, entry] of early) session.change(name, entry, null);
  for (const widget of widgets) widget.begin();
  showCurrentBow(first, session);
  if (recoverable !== null) recoverRecord(recoverable, { client, store, session, notices });
  if (carriesValues()) link.open();

  startWhenIdle(client, widgets);
  listenForPresets({
    fieldOf,
    change: (name, entry) => session.change(name, entry, null),
  });
  preparePrint(() => widgets.map((widget) => widget.form));
  client.listen(({ name }) => {
    if (name === "ready") offline.keep();
  });
  // A page that comes back from the browser's back-forward memory has missed the other tabs' changes.
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) session.refresh();
  });
}

/**
 * Lists of which a link says only how things stand, with the most rows that there may be of each; from data-unlinked.
 * @param {HTMLElement} section
 * @returns {Map<string, number>}
 */
function rowLimits({ dataset }) {
  const lists = dataset.unlinked?.split(" ").map((one) => one.split(":")) ?? [];
  return new Map(lists.map(([name, most]) => [name, Number(most ?? Infinity)]));
}

/**
 * Start when the page has nothing else to do, or at the first touch of a form, whichever is first.
 * @param {Client} client
 * @param {Widget[]} widgets
 */
function startWhenIdle(client, widgets) {
  const start = () => client.start();
  for (const { form } of widgets) {
    for (const kind of ["pointerdown", "focusin", "input"]) form.element.addEventListener(kind, start, { once: true });
  }
  // A reader who asks for few bytes gets the calculator when they touch it.
  if (savesData()) return;
  const idle = () =>
    "requestIdleCallback" in window ? requestIdleCallback(start, { timeout: 3000 }) : setTimeout(start, 500);
  if (document.readyState === "complete") idle();
  else window.addEventListener("load", idle, { once: true });
}

/** Whether the reader asks for few bytes; not every browser tells. */
function savesData() {
  const { connection } = /** @type {{ connection?: { saveData?: boolean } }} */ (navigator);
  return connection?.saveData === true;
}

/**
 * Waiting times from data-start-silence and data-answer-time, in milliseconds, where the page gives them.
 * @param {HTMLElement} section
 */
function timesOf({ dataset }) {
  /** @type {{ startSilence?: number, answerTime?: number }} */
  const times = {};
  if (dataset.startSilence) times.startSilence = Number(dataset.startSilence);
  if (dataset.answerTime) times.answerTime = Number(dataset.answerTime);
  return times;
}
