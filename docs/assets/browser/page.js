// The entry: makes the page's one session and one client, and a widget for every calculator on it.

import { Banner } from "./banner.js";
import { Client } from "./client.js";
import { Link, carriesValues } from "./link.js";
import { Notices } from "./notices.js";
import { Offline } from "./offline.js";
import { Session } from "./session.js";
import { Shelf } from "./shelf.js";
import { StaleEdits } from "./stale_edits.js";
import { Store } from "./store.js";
import { Widget } from "./widget.js";
import { beginBowsPage } from "./bows_page.js";
import { copyLink } from "./share.js";
import { holdBackTouches } from "./touch.js";
import { showCurrentBow } from "./current_bow.js";
import { listenForPresets } from "./preset_links.js";
import { preparePrint } from "./print.js";
import { recoverRecord } from "./recovery.js";
import { saveCsv } from "./csv_export.js";

const sections = [...document.querySelectorAll(".qt-widget")];
if (sections.length > 0) begin(sections);
const bows = document.querySelector(".qt-bows");
if (bows) beginBowsPage(bows);

function begin([first, ...others]) {
  holdBackTouches();
  const widgets = [];
  const fields = (name) => widgets.map((widget) => widget.form.fields.get(name)).filter(Boolean);
  // Lists of which a link says only how things stand, with the most rows that there may be.
  const unlinked = new Map(first.dataset.unlinked?.split(" ").map((one) => one.split(":")));
  // A field that no form of this page shows is of the bow, as far as this page can know.
  const scopeOf = (name) => (unlinked.has(name) ? "home" : fields(name)[0]?.scope ?? "bow");
  const isOfBow = (name) => ["bow", "home"].includes(scopeOf(name)) && name !== "version";
  const notices = new Notices(first, (text) => widgets[0].status.say(text));
  const say = (sentence) => notices.add(sentence);
  const store = new Store({
    version: Number(first.dataset.recordVersion ?? 1),
    say,
    taken: (names) => session.taken(names),
    departed: (before) => session.departed(before),
    isKept: (name) => scopeOf(name) !== "view",
    isOfBow,
  });
  const shelf = new Shelf({ version: store.version, say });
  const ofBow = (entries) => Object.fromEntries(Object.entries(entries).filter(([name]) => isOfBow(name)));
  const session = new Session({
    store,
    scopeOf,
    shelf,
    stale: new StaleEdits({ shelf, say }),
    edited: () => new Map(widgets.flatMap(({ form }) => [...form.edited])),
    most: (name) => Number(unlinked.get(name) ?? Infinity),
    leave: () => {
      const record = { version: store.version, ...ofBow(store.record) };
      const { refused } = shelf.put(store.bowId, record, ofBow(store.times));
      if (refused !== null) notices.add(refused);
    },
  });
  const runtime = new URL(first.dataset.runtime, document.baseURI);
  const client = new Client(new URL("worker.js", runtime), timesOf(first));
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
  for (const section of [first, ...others]) widgets.push(new Widget(section, { client, session, actions }));
  const speak = (text, topic) => widgets[0].status.say(text, topic);
  const banner = new Banner(first.querySelector(".qt-banner"));
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
    fieldOf: (name) => fields(name)[0] ?? null,
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

/** Start when the page has nothing else to do, or at the first touch of a form, whichever is first. */
function startWhenIdle(client, widgets) {
  const start = () => client.start();
  for (const { form } of widgets) {
    for (const kind of ["pointerdown", "focusin", "input"]) form.element.addEventListener(kind, start, { once: true });
  }
  // A reader who asks for few bytes gets the calculator when they touch it.
  if (navigator.connection?.saveData) return;
  const idle = () => (window.requestIdleCallback ? requestIdleCallback(start, { timeout: 3000 }) : setTimeout(start, 500));
  if (document.readyState === "complete") idle();
  else window.addEventListener("load", idle, { once: true });
}

/** Waiting times from data-start-silence and data-answer-time, in milliseconds, where the page gives them. */
function timesOf({ dataset }) {
  const times = {};
  if (dataset.startSilence) times.startSilence = Number(dataset.startSilence);
  if (dataset.answerTime) times.answerTime = Number(dataset.answerTime);
  return times;
}
