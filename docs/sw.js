// The service worker: lets the site be used without signal. It lies at the site's root, so that its scope is the
// whole site and no more.
//
// What it keeps: the runtime's files, whose folder carries a hash, from the cache first; everything else from the
// network first, and from the cache when the network is silent, so that no page goes stale.
//
// To take it back: serve a file named sw-off.txt beside it that begins with the word "off". Every installed copy then
// clears its caches and removes itself at the next page it sees. (The word is asked for because some hosts answer
// every address with a page.)

// Both are filled in by the build, so that this file changes whenever the site does.
const VERSION = "__QT_VERSION__";
const RUNTIME = "__QT_RUNTIME__";

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const SCOPE = new URL(worker.registration.scope);
// The path is part of the name: two sites of one host must not clear each other's caches.
const PREFIX = `quarter-turn ${SCOPE.pathname} `;
const HASHED = `${PREFIX}runtime ${RUNTIME}`;
const PAGES = `${PREFIX}pages ${VERSION}`;
const OFF = new URL("sw-off.txt", SCOPE);
const RUNTIME_ADDRESS = new URL(RUNTIME, SCOPE).href;
// A bench at the edge of a field has a signal that is there and carries nothing.
const PATIENCE = 4000;
// Whether the switch was seen thrown: from then on nothing is kept, or what is under way would fill a cache again.
let off = false;

worker.addEventListener("install", () => worker.skipWaiting());

worker.addEventListener("activate", (event) => event.waitUntil(activate()));

worker.addEventListener("message", (event) => event.waitUntil(keep(event.data?.keep, event.ports[0])));

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  // Other hosts and other methods are none of our business; nor is the switch itself.
  if (off || request.method !== "GET" || !request.url.startsWith(SCOPE.href) || request.url === OFF.href) return;
  if (request.mode === "navigate") event.waitUntil(obeySwitch());
  const hashed = request.url.startsWith(RUNTIME_ADDRESS);
  event.respondWith(hashed ? cacheFirst(event) : networkFirst(event));
});

async function activate() {
  await clearOld();
  await worker.clients.claim();
  await obeySwitch();
}

/** Whether it may keep anything: not once the switch was thrown, nor once a newer one has taken its place. */
function mayKeep() {
  return !off && worker.serviceWorker?.state !== "redundant";
}

/** Take away what an older one kept. */
async function clearOld() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== HASHED && name !== PAGES);
  await Promise.all(old.map((name) => caches.delete(name)));
}

/**
 * After the first use: fetch all that is needed without signal; the page hears whether all of it is there.
 * @param {{ runtime: string, addresses: string[] }} what
 * @param {MessagePort} port
 */
async function keep(what, port) {
  if (off) {
    // A page that was quick has registered again what the switch had removed.
    await worker.registration.unregister();
    port.postMessage({ kept: false });
    return;
  }
  try {
    const manifest = new URL("manifest.json", what.runtime);
    const hashed = await fill(HASHED, [manifest], "default");
    const listed = filesOf(await ((await hashed.match(manifest)) ?? (await fetch(manifest))).json());
    const runtime = [...listed, "worker.js"].map((file) => new URL(file, what.runtime));
    await fill(HASHED, runtime, "default");
    // The pages may have been cached by the browser in an older state.
    await fill(PAGES, what.addresses, "no-cache");
    // The older one may have been busy, and have kept more while this one began.
    if (mayKeep()) await clearOld();
    port.postMessage({ kept: true });
  } catch {
    port.postMessage({ kept: false });
  }
}

/**
 * The names of the files that a manifest lists.
 * @param {{ files: { name: string }[] }} manifest
 */
function filesOf(manifest) {
  return manifest.files.map((file) => file.name);
}

/**
 * Have these in a cache; an error where one of them cannot be had, or not be kept.
 * @param {string} name
 * @param {(string | URL)[]} addresses
 * @param {RequestCache} mode
 */
async function fill(name, addresses, mode) {
  if (!mayKeep()) throw new Error(name);
  const cache = await caches.open(name);
  const wanted = new Set(addresses.map(String).filter((address) => address.startsWith(SCOPE.href)));
  for (const address of wanted) {
    // What is there already is either hashed or renewed whenever the network answers.
    if (await cache.match(address)) continue;
    const response = await fetch(address, { cache: mode });
    if (!isOurs(response) || !mayKeep()) throw new Error(address);
    await cache.put(address, response);
  }
  return cache;
}

/**
 * A cache, or nothing where nothing may be kept or the browser has no room: the page needs none.
 * @param {string} name
 * @returns {Promise<Cache | null>}
 */
async function opened(name) {
  return mayKeep() ? caches.open(name).catch(() => null) : null;
}

/**
 * What is kept of an address, where there is a cache that can be read.
 * @param {Cache | null} cache
 * @param {Request} request
 * @param {CacheQueryOptions} [options]
 */
async function keptOf(cache, request, options) {
  return (await cache?.match(request.url, options).catch(() => undefined)) ?? null;
}

/**
 * Fetch, and keep a copy beside it: the answer neither waits for the copy nor fails with it, be it that the disk is
 * full or that a newer service worker has just taken the cache away.
 * @param {FetchEvent} event
 * @param {Cache | null} cache
 */
function fetchAndKeep(event, cache) {
  const fetched = fetch(event.request);
  const copied = fetched.then((response) => {
    return cache && mayKeep() && isOurs(response) ? cache.put(event.request.url, response.clone()) : undefined;
  });
  event.waitUntil(copied.catch(() => {}));
  return fetched;
}

/** @param {FetchEvent} event */
async function cacheFirst(event) {
  const cache = await opened(HASHED);
  return (await keptOf(cache, event.request)) ?? fetchAndKeep(event, cache);
}

/** @param {FetchEvent} event */
async function networkFirst(event) {
  const cache = await opened(PAGES);
  // Also when the cache answers first, the fetch goes on and renews it.
  const fetched = fetchAndKeep(event, cache);
  const first = await Promise.race([fetched.catch(() => null), after(PATIENCE)]);
  // A page's parameters do not change the file.
  return first ?? (await keptOf(cache, event.request, { ignoreSearch: true })) ?? fetched;
}

/**
 * Whole, successful and of this host: an opaque or partial answer is never kept.
 * @param {Response} response
 */
function isOurs(response) {
  return response.status === 200 && response.type === "basic" && !response.redirected;
}

/**
 * @param {number} milliseconds
 * @returns {Promise<null>}
 */
function after(milliseconds) {
  return new Promise((resolve) => setTimeout(resolve, milliseconds, null));
}

async function obeySwitch() {
  try {
    const response = await fetch(OFF, { cache: "no-store" });
    if (!response.ok || !(await response.text()).startsWith("off")) return;
  } catch {
    // No network: the switch cannot be read, and is not thrown.
    return;
  }
  off = true;
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX)).map((name) => caches.delete(name)));
  await worker.registration.unregister();
}
