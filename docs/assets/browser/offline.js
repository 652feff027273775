// Use without signal: a service worker keeps the runtime and the visited pages. It is registered after the first
// use, when everything has been fetched once anyway. It buys offline use, not speed.

import { SITE } from "./site_paths.js";
import { find, findAll, part } from "./dom.js";

const READY = "Ready to be used without signal.";
const NOT_KEPT = "This browser does not keep these pages for use without signal.";

export class Offline {
  #asked = false;
  /** @type {Promise<boolean> | null} */
  #result = null;
  #listens = false;

  /**
   * @param {HTMLElement} section
   * @param {{ runtime: string, say: (text: string) => void }} parts
   */
  constructor(section, { runtime, say }) {
    this.section = section;
    this.runtime = runtime;
    this.say = say;
    this.line = part(section, "qt-offline", "p", (element) => find(section, ".qt-tools:not(.qt-bows *)").after(element));
  }

  /** Register, once, and have everything kept. Silent where it fails: the page needs no service worker. */
  async keep() {
    this.#result ??= this.#register().catch(() => false);
    if (await this.#result) {
      this.line.textContent = READY;
      this.line.hidden = false;
    } else if (this.#asked) {
      this.say(NOT_KEPT);
    }
  }

  /** The reader asks for it: now a failure is worth a word, and another try. */
  ask() {
    this.#asked = true;
    this.#result = null;
    return this.keep();
  }

  /** @returns {Promise<boolean>} */
  async #register() {
    await navigator.serviceWorker.register(new URL("sw.js", SITE), { scope: SITE.pathname });
    if (!this.#listens) {
      this.#listens = true;
      // A newer one takes over and clears what the older kept, perhaps just after it was asked: ask the newer too.
      navigator.serviceWorker.addEventListener("controllerchange", () => {
        this.#result = null;
        this.keep();
      });
    }
    const { active } = await navigator.serviceWorker.ready;
    const { port1, port2 } = new MessageChannel();
    /** @type {Promise<boolean>} */
    const kept = new Promise((resolve) => {
      port1.onmessage = (event) => resolve(event.data.kept === true);
    });
    if (!active) return false;
    const addresses = [...pageAddresses(this.runtime), ...movedAddresses(this.section)];
    active.postMessage({ keep: { runtime: this.runtime, addresses } }, [port2]);
    return kept;
  }
}

/**
 * The page, what it has loaded, and the site's other pages; the runtime's own files come from its manifest.
 * @param {string} runtime
 */
function pageAddresses(runtime) {
  const resources = performance.getEntriesByType("resource").filter((one) => one instanceof PerformanceResourceTiming);
  const loaded = resources.filter((entry) => (entry.responseStatus ?? 200) < 400);
  // A reader who has looked at one page at home goes on to the next at the bench, where there is no signal.
  const links = findAll(document, "nav a[href]").filter((link) => link instanceof HTMLAnchorElement);
  const linked = links.map((link) => link.href.split("#")[0]);
  const addresses = [location.href.split("#")[0], ...linked, ...loaded.map((entry) => entry.name), ...searchAddresses()];
  return addresses.filter((address) => address.startsWith(SITE.href) && !address.startsWith(runtime));
}

/**
 * The old addresses, from data-moved, and what leads on from them: no other page fetches that.
 * @param {HTMLElement} section
 */
function movedAddresses(section) {
  const moved = (section.dataset.moved ?? "").split(" ").filter(Boolean);
  if (moved.length === 0) return [];
  return [...moved.map((path) => new URL(path, SITE).href), new URL("moved.js", import.meta.url).href];
}

/** What the first search will fetch: docs/search_worker.js, whose address names the theme's own worker behind #. */
function searchAddresses() {
  const { search } = JSON.parse(document.getElementById("__config")?.textContent ?? "{}");
  if (typeof search !== "string") return [];
  const [worker, themesOwn] = new URL(search, location.href).href.split("#");
  return [worker, ...[themesOwn, "search/whole_index.json"].map((path) => new URL(path, SITE).href)];
}
