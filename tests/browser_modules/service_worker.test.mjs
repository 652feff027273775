// The service worker before a browser whose storage fails: a page is shown whether or not a copy of it can be kept.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import vm from "node:vm";

const SITE = "https://club.example/bows/";
const CODE = readFileSync(new URL("../../docs/sw.js", import.meta.url), "utf8").replace("__QT_RUNTIME__", "runtime/a1/");

const full = () => Promise.reject(new DOMException("no room", "QuotaExceededError"));
const never = () => new Promise(() => {});

/** @param {string} text */
function page(text) {
  return Object.defineProperty(new Response(text), "type", { value: "basic" });
}

/**
 * What the service worker answers to a page's request.
 * @param {string} path
 * @param {{ network?: () => Promise<Response>, cache?: object, open?: () => Promise<unknown> }} browser
 */
async function answer(path, { network = async () => page("fetched"), cache = {}, open = async () => whole(cache) }) {
  /** @type {Map<string, (event: object) => void>} */
  const listeners = new Map();
  const self = {
    registration: { scope: SITE },
    serviceWorker: { state: "activated" },
    /**
     * @param {string} name
     * @param {(event: object) => void} listener
     */
    addEventListener: (name, listener) => listeners.set(name, listener),
  };
  const setTimeout = (/** @type {() => void} */ late) => late();
  vm.runInNewContext(CODE, { self, fetch: network, caches: { open }, URL, setTimeout });
  /** @type {Promise<Response> | undefined} */
  let given;
  listeners.get("fetch")?.({
    request: { method: "GET", mode: "cors", url: SITE + path },
    respondWith: (/** @type {Promise<Response>} */ promise) => (given = promise),
    waitUntil: () => {},
  });
  assert.ok(given);
  // Whatever has not come by now waits for something that never ends.
  const late = new Promise((/** @type {(response: Response) => void} */ resolve) => {
    globalThis.setTimeout(resolve, 2_000, page("nothing in two seconds"));
  });
  return (await Promise.race([given, late])).text();
}

/** @param {object} cache */
function whole(cache) {
  return { match: async () => undefined, put: async () => undefined, ...cache };
}

for (const [kind, path] of [
  ["a page", "safe-range/"],
  ["a file of the runtime", "runtime/a1/library.packed"],
]) {
  test(`${kind} is given where there is no room for its copy`, async () => {
    assert.equal(await answer(path, { cache: { put: full } }), "fetched");
  });

  test(`${kind} does not wait for its copy`, async () => {
    assert.equal(await answer(path, { cache: { put: never } }), "fetched");
  });

  test(`${kind} is given where no cache opens, or none can be read`, async () => {
    assert.equal(await answer(path, { open: full }), "fetched");
    assert.equal(await answer(path, { cache: { match: full } }), "fetched");
  });

  test(`${kind} comes from what is kept where the network fails`, async () => {
    const network = () => Promise.reject(new TypeError("no network"));
    assert.equal(await answer(path, { network, cache: { match: async () => page("kept") } }), "kept");
    await assert.rejects(answer(path, { network }), TypeError);
    await assert.rejects(answer(path, { network, cache: { match: full } }), TypeError);
  });
}

test("a network that is silent does not keep a reader waiting, and is heard where nothing is kept", async () => {
  assert.equal(await answer("safe-range/", { network: never, cache: { match: async () => page("kept") } }), "kept");
  const late = () => new Promise((/** @type {(response: Response) => void} */ resolve) => setImmediate(resolve, page("late")));
  assert.equal(await answer("safe-range/", { network: late }), "late");
});
