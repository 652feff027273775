// The search's worker, made with every page and started by the first search: until then a phone neither fetches the
// site's index nor works through it. The theme's own worker, which is named in this one's address behind #, does the
// rest. Messages, by type: 0 the theme's settings and index (an empty one), 1 ready, 2 what is looked for, 3 what was found.

const [READY, QUERY, FOUND] = [1, 2, 3];

const worker = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const SITE = new URL(".", worker.location.href);
const THEMES_OWN = new URL(worker.location.hash.slice(1), SITE);
const INDEX = new URL("search/whole_index.json", SITE);

/** @typedef {{ type: number, data: any }} Message */

/**
 * What the theme's own has not been told yet, the settings first.
 * @type {Message[]}
 */
const waiting = [];
let started = false;

/** @param {MessageEvent<Message>} event */
function receive({ data: message }) {
  // The page asks for nothing as soon as it hears that it may ask.
  if (message.type === QUERY && message.data === "") worker.postMessage({ type: FOUND, data: { items: [] } });
  else waiting.push(message);
  if (message.type !== QUERY) worker.postMessage({ type: READY });
  else if (message.data !== "" && !started) start();
}

async function start() {
  started = true;
  try {
    const response = await fetch(INDEX);
    const index = await response.json();
    worker.importScripts(THEMES_OWN.href);
    worker.removeEventListener("message", receive);
    const [settings] = waiting;
    const newest = waiting[waiting.length - 1];
    // It says that it is ready, which the page has heard: then, and before anything that is typed later, comes the question.
    const { postMessage } = worker;
    worker.postMessage = () => {
      worker.postMessage = postMessage;
      passOn(newest);
    };
    passOn({ ...settings, data: { ...settings.data, ...index } });
  } catch {
    // No signal: the next letter tries again.
    started = false;
  }
}

/** @param {Message} message */
function passOn(message) {
  worker.dispatchEvent(new MessageEvent("message", { data: message }));
}

worker.addEventListener("message", receive);
