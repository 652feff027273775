// The memory of a Python that has started, kept in the browser: the next start goes on from it.
//
// It is copied when the package has been imported and no question has been handed over yet, so nothing of a reader's is
// in it. One is kept, beside the two zips that Python goes on importing from, in a database of its own; a newer one
// takes its place. It is used by the same build in the same browser only, and only where its sums are right and it
// answers a trial as it did before it was copied. At any doubt there is none, and Python starts from its files.

/**
 * Python's part of the build, unpacked.
 * @typedef {{ library: Uint8Array<ArrayBuffer>, package: Uint8Array<ArrayBuffer> }} Zips
 * @typedef {Zips & { snapshot: Uint8Array<ArrayBuffer>, trial: string }} Started
 */

/**
 * What is said of a memory beside its bytes: whose it is, what it answers, and its parts with their sums. One that is
 * unfit has neither parts nor bytes: it failed, and its build is not tried again.
 * @typedef {object} About
 * @property {string} build
 * @property {string} agent
 * @property {boolean} [unfit]
 * @property {string} [trial]
 * @property {number} [length]
 * @property {{ length: number, sum: string }[]} [parts]
 */

/**
 * @typedef {{ about: About, bytes?: Blob }} Kept
 * @import { ListedFile, Pyodide, PythonFunction } from "./types.js"
 */

/** A question that is answered from nothing but the package. */
const TRIAL = "{}";
/** In pages of so many bytes, those that are empty are left out. */
const PAGE = 16_384;
/** It is kept where there is room for as many of them. */
const ROOM = 10;
/** How long the database may take, ms. */
const PATIENCE = 2000;
/** How long nothing is asked before a memory is kept, ms. */
const QUIET = 1000;

export class Memory {
  /** @type {{ copy: Uint8Array<ArrayBuffer>, zips: Zips, trial: string } | null} */
  #taken = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #build = "";
  #unfit = false;

  /** @param {URL} here the folder of the build */
  constructor(here) {
    this.name = `quarter-turn ${new URL("..", here).pathname} memory`;
    this.found = intime(this.#transaction("readonly", (store) => store.get("kept")));
    // Whoever asks hears of a failure; if nobody does, it is none.
    this.found.catch(() => {});
  }

  /**
   * The memory of a build, or null.
   * @param {ListedFile[]} files all files of the build
   * @param {boolean} isRefused whether it is not wanted, for it may be what stopped a worker before this one
   * @returns {Promise<Started | null>}
   */
  async of(files, isRefused) {
    this.#build = files.map((file) => file.sha256).join(" ");
    try {
      /** @type {Kept | undefined} */
      const found = await this.found;
      if (found?.about.build !== this.#build || found.about.agent !== navigator.userAgent) return null;
      const { about, bytes } = found;
      this.#unfit = about.unfit === true;
      if (isRefused) this.forget();
      return bytes && !this.#unfit ? unpacked(about, await intime(bytes.arrayBuffer())) : null;
    } catch {
      return null;
    }
  }

  /**
   * Python has begun. One that went on from a memory must answer the trial as it did before; of one that started from
   * its files the memory is copied, and kept once it is quiet (`quiet`).
   * @param {Started | null} started
   * @param {Pyodide} pyodide
   * @param {Zips} zips
   * @param {PythonFunction} ask
   */
  begun(started, pyodide, zips, ask) {
    if (started) {
      if (ask(TRIAL) !== started.trial) throw new Error("Python answers otherwise than before its memory was kept");
      // Pyodide holds on to what it was given: a phone would have it twice.
      for (const { buffer } of [started.snapshot, started.library]) structuredClone(buffer, { transfer: [buffer] });
      return;
    }
    if (this.#unfit) return;
    try {
      const trial = ask(TRIAL);
      const copy = pyodide.makeMemorySnapshot?.();
      if (copy) this.#taken = { copy, zips, trial };
    } catch {
      // It starts from its files the next time too.
    }
  }

  /** Nothing is asked at the moment: keep what was taken if it stays so. */
  quiet() {
    if (!this.#taken) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#keep().catch(() => {}), QUIET);
  }

  /** The memory of this build has failed, or may have: it is not tried again. */
  forget() {
    this.#unfit = true;
    this.#put({ about: { build: this.#build, agent: navigator.userAgent, unfit: true } }).catch(() => {});
  }

  async #keep() {
    if (!this.#taken) return;
    const { copy, zips, trial } = this.#taken;
    this.#taken = null;
    const { length } = copy;
    const { quota = 0, usage = 0 } = await navigator.storage.estimate();
    if (quota - usage < ROOM * length) return;
    const parts = [...(await withoutEmptyPages(copy)), zips.library, zips.package];
    const described = parts.map((part) => ({ length: part.length, sum: sumOf(part) }));
    const about = { build: this.#build, agent: navigator.userAgent, trial, length, parts: described };
    const bytes = new Blob(parts.flatMap((part) => [part, new Uint8Array(padding(part.length))]));
    await this.#put({ about, bytes });
  }

  /** @param {Kept} kept */
  #put(kept) {
    return this.#transaction("readwrite", (store) => store.put(kept, "kept"));
  }

  /**
   * @param {IDBTransactionMode} mode
   * @param {(store: IDBObjectStore) => IDBRequest} act
   */
  async #transaction(mode, act) {
    const opening = indexedDB.open(this.name, 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("memory");
    await new Promise((resolve, reject) => {
      opening.onsuccess = resolve;
      opening.onerror = () => reject(opening.error);
    });
    const database = opening.result;
    try {
      const transaction = database.transaction("memory", mode);
      const request = act(transaction.objectStore("memory"));
      await new Promise((resolve, reject) => {
        transaction.oncomplete = resolve;
        transaction.onabort = () => reject(transaction.error);
      });
      return request.result;
    } finally {
      database.close();
    }
  }
}

/**
 * A database may never answer: then there is none.
 * @template T
 * @param {Promise<T>} promise
 * @returns {Promise<T>}
 */
function intime(promise) {
  return Promise.race([promise, new Promise((_, reject) => setTimeout(reject, PATIENCE, new Error("no answer")))]);
}

/** @param {number} length */
function padding(length) {
  return -length & 15;
}

/**
 * Which pages are not empty, one byte a page, and those pages, moved together within the copy.
 * @param {Uint8Array<ArrayBuffer>} copy
 */
async function withoutEmptyPages(copy) {
  const used = new Uint8Array(Math.ceil(copy.length / PAGE));
  let at = 0;
  for (let page = 0; page < used.length; page++) {
    // It is done in the background: what is asked meanwhile is answered in between.
    if (page % 64 === 63) await new Promise((resolve) => setTimeout(resolve, 0));
    const bytes = copy.subarray(page * PAGE, (page + 1) * PAGE);
    if (new Int32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2).every((word) => word === 0)) continue;
    used[page] = 1;
    copy.copyWithin(at, page * PAGE, page * PAGE + bytes.length);
    at += bytes.length;
  }
  return [used, copy.subarray(0, at)];
}

/**
 * A kept memory as it was.
 * @param {About} about
 * @param {ArrayBuffer} bytes
 * @returns {Started | null}
 */
function unpacked({ trial, length = 0, parts = [] }, bytes) {
  const total = parts.reduce((sum, part) => sum + part.length + padding(part.length), 0);
  if (trial === undefined || parts.length !== 4 || bytes.byteLength !== total) return null;
  let at = 0;
  const found = parts.map((part) => {
    const one = new Uint8Array(bytes, at, part.length);
    at += part.length + padding(part.length);
    return one;
  });
  if (found.some((part, index) => sumOf(part) !== parts[index].sum)) return null;
  const [used, pages, library, package_] = found;
  const snapshot = new Uint8Array(length);
  at = 0;
  used.forEach((isUsed, page) => {
    if (!isUsed) return;
    const one = pages.subarray(at, at + Math.min(PAGE, length - page * PAGE));
    snapshot.set(one, page * PAGE);
    at += one.length;
  });
  return { snapshot, library, package: package_, trial };
}

/**
 * A sum that any one changed word changes, of bytes that begin at a multiple of 16. SHA-256 would take three times
 * as long: it guards against what a disk does, and not against somebody.
 * @param {Uint8Array<ArrayBuffer>} bytes
 */
function sumOf(bytes) {
  const words = new Int32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
  const end = words.length - 3;
  let [a, b, c, d] = [1, 2, 3, 4];
  let at = 0;
  for (; at < end; at += 4) {
    a = (Math.imul(a, 31) + words[at]) | 0;
    b = (Math.imul(b, 31) + words[at + 1]) | 0;
    c = (Math.imul(c, 31) + words[at + 2]) | 0;
    d = (Math.imul(d, 31) + words[at + 3]) | 0;
  }
  for (const byte of bytes.subarray(4 * at)) a = (Math.imul(a, 31) + byte) | 0;
  return [a, b, c, d].join(" ");
}
