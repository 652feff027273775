// The entry: makes the page's one session, its one client and its one form, and what moves with them.

import { Banner } from "./banner.js";
import { Client } from "./client.js";
import { Link } from "./link.js";
import { Notices } from "./notices.js";
import { Offline } from "./offline.js";
import { PageForm } from "./page_form.js";
import { showBows } from "./bows_list.js";
import { startColours } from "./colours.js";
import { beginTries } from "./tries.js";
import { copyLink } from "./share.js";
import { find, findMaybe } from "./dom.js";
import { holdBackTouches } from "./touch.js";
import { keepInSight } from "./strip.js";
import { openSession } from "./open_session.js";
import { preparePrint, printAs, printSheet } from "./print.js";
import { recoverRecord } from "./recovery.js";
import { saveCsv } from "./csv_export.js";
import { showBoltAtHand } from "./bolt_at_hand.js";
import { showCurrentBow } from "./current_bow.js";
import { showEmbed } from "./embed.js";
import { showKnown } from "./known.js";
import { showSteps } from "./steps.js";
import { showStates } from "./states.js";
import { takeTask } from "./task_link.js";

// ms after a page came back.
const SOON = [500, 3000];

/** @import { Actions } from "./page_form.js" */
/** @typedef {{ __md_get: (name: string) => unknown, __md_set: (name: string, what: object) => void }} ThemesMemory */

const colours = findMaybe(document, "[data-colours]");
// The theme's two lines for what it keeps, at the head of every page.
const { __md_get: read, __md_set: keep } = /** @type {ThemesMemory} */ (/** @type {unknown} */ (window));
if (colours) startColours(colours, { read, keep });

const found = findMaybe(document, ".qt-page");
const page = found && begin(found);
const bows = findMaybe(document, ".qt-bows");
if (bows && page) showBows(bows, page);
const embed = findMaybe(document, ".qt-embed");
if (embed) showEmbed(embed);

/**
 * Start the page's calculators.
 * @param {HTMLElement} root
 */
function begin(root) {
  holdBackTouches();
  const limits = rowLimits(root);
  const habits = new Set(root.dataset.habits?.split(" "));
  /**
   * A field that this page does not show is of the bow, unless it is one of the reader's habits; the view is not kept.
   * @param {string} name
   */
  const scopeOf = (name) => {
    if (limits.has(name)) return "home";
    return habits.has(name) ? "reader" : (form?.form.fields.get(name)?.scope ?? "bow");
  };
  /** @type {PageForm | null} */
  let form = null;
  const notices = new Notices(root, (text) => form?.status.say(text));
  const { store, shelf, session } = openSession({
    version: Number(root.dataset.recordVersion ?? 1),
    say: (sentence) => notices.add(sentence),
    scopeOf,
    edited: () => form?.form.edited ?? new Map(),
    most: (name) => limits.get(name) ?? Infinity,
  });
  const runtime = new URL(root.dataset.runtime ?? "", document.baseURI);
  const client = new Client(new URL("worker.js", runtime), timesOf(root));
  /** @type {Actions} */
  const actions = {
    link: copyLink,
    csv: saveCsv,
    print: printSheet,
    "print-steps": () => printAs("steps"),
    "print-bench": () => printAs("bench"),
    "print-card": () => printAs("card"),
    "print-reading": () => printAs("reading"),
    undo: () => session.undo(),
    clear: () => {
      link.leave();
      session.clear();
    },
    offline: () => offline.ask(),
  };
  form = new PageForm(root, { client, session, actions });
  const { status } = form;
  /**
   * @param {string} text
   * @param {string} [topic]
   */
  const speak = (text, topic) => status.say(text, topic);
  const banner = new Banner(find(root, ".qt-banner:not(.qt-bows *)"));
  const link = new Link({ banner, session, shelf, client, say: speak });
  const offline = new Offline(root, { runtime: runtime.href, say: speak });

  const early = Object.entries(form.form.read());
  const recoverable = store.load();
  // What was typed before this module arrived is newer than what was kept.
  for (const [name, entry] of early) session.change(name, entry, null);
  showKnown(root, form);
  showBoltAtHand(root, form);
  showSteps(root, form);
  showStates(root, form);
  keepInSight(root);
  form.begin();
  showCurrentBow(root, session);
  if (recoverable !== null) recoverRecord(recoverable, { client, store, session, notices });
  link.open();
  takeTask(form);

  startWhenIdle(client, root);
  beginTries(root, form);
  preparePrint(() => form?.form ?? null);
  client.listen(({ name }) => {
    if (name === "ready") offline.keep();
  });
  // A page that comes back from the browser's back-forward memory has missed the other tabs' changes.
  window.addEventListener("pageshow", (event) => {
    if (!event.persisted) return;
    session.refresh();
    // A busy browser tells a page that comes back of what others stored a little later.
    for (const wait of SOON) setTimeout(() => session.refresh(), wait);
  });
  goOnce();
  return { session, shelf, client, status };
}

/** An old address has brought the place to go to in the query: once, for the fragment is a bow. */
function goOnce() {
  const asked = new URL(location.href);
  const to = asked.searchParams.get("to");
  if (to === null) return;
  document.getElementById(to)?.scrollIntoView();
  asked.searchParams.delete("to");
  history.replaceState(history.state, "", asked);
}

/**
 * Lists of which a link says only how things stand, with the most rows that there may be of each; from data-unlinked.
 * @param {HTMLElement} root
 * @returns {Map<string, number>}
 */
function rowLimits({ dataset }) {
  const lists = dataset.unlinked?.split(" ").map((one) => one.split(":")) ?? [];
  return new Map(lists.map(([name, most]) => [name, Number(most ?? Infinity)]));
}

/**
 * Start when the page has nothing else to do, or at the first touch of a box or a picture, whichever is first.
 * @param {Client} client
 * @param {HTMLElement} root
 */
function startWhenIdle(client, root) {
  const start = () => client.start();
  /** @param {Event} event */
  const touched = ({ target }) => {
    if (target instanceof Element && target.closest(".qt-form, [data-hand], [data-drag-field], [data-try]")) start();
  };
  for (const kind of ["pointerdown", "focusin", "input"]) root.addEventListener(kind, touched);
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
 * @param {HTMLElement} root
 */
function timesOf({ dataset }) {
  /** @type {{ startSilence?: number, answerTime?: number }} */
  const times = {};
  if (dataset.startSilence) times.startSilence = Number(dataset.startSilence);
  if (dataset.answerTime) times.answerTime = Number(dataset.answerTime);
  return times;
}
