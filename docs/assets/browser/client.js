// The page's one worker, shared by all its calculators: two Pythons on one page would exhaust a phone.
// JSON strings go out and come back. One question runs; of those that wait, the newest of each key counts.
// A worker that hangs or crashes is ended and started again; the same question is tried twice, never a third time.

import { Watchdog } from "./watchdog.js";
import { readAnswer, BROKEN } from "./reply.js";
import { stageText } from "./loading_stages.js";

/** @import { Answer } from "./reply.js" */

/**
 * What the worker is doing: while it starts, its stage and the bytes it has fetched; a sentence where something went wrong.
 * @typedef {object} State
 * @property {"idle" | "starting" | "ready" | "working" | "failed"} name
 * @property {string} [stage]
 * @property {number} [loaded]
 * @property {number} [total]
 * @property {string | null} [sentence]
 */

/**
 * What the worker says, whose head tells more.
 * @typedef {object} Message
 * @property {number} [id]
 * @property {string} [answer]
 * @property {string} [stage]
 * @property {number} [loaded]
 * @property {number} [total]
 * @property {boolean} [ready]
 * @property {string} [failed]
 * @property {string} [message]
 */

/**
 * A question: its text, and that for its first part where it is answered in two.
 * @typedef {object} Job
 * @property {number} id
 * @property {string} text
 * @property {string | null} first
 * @property {string | null} key
 * @property {((answer: Answer) => void) | null} more
 * @property {(answer: Answer | null) => void} resolve
 */

/** @typedef {Pick<Worker, "postMessage" | "terminate" | "onmessage" | "onerror" | "onmessageerror">} WorkerLike */

const REFUSED =
  "The calculator stopped twice on these same values, so they are not tried again. They are kept; change any of them to go on.";

// Told to the worker by its name (worker.js).
const FROM_FILES = "from its files";

// While a slider moves, a whole answer is given at least as often as this, in milliseconds.
const WHOLE_EVERY = 150;

export class Client {
  /**
   * `address` is the worker's; `startSilence` and `answerTime` are in milliseconds: how long the worker may say
   * nothing while it starts, and while it answers. `make` makes the worker (a seam, so that this can be tried alone).
   * @param {URL} address
   * @param {{ startSilence?: number, answerTime?: number, make?: (address: URL, name: string) => WorkerLike }} parts
   */
  constructor(address, { startSilence = 45_000, answerTime = 15_000, make = makeWorker } = {}) {
    this.address = address;
    this.times = { start: startSilence, answer: answerTime };
    this.make = make;
    /** @type {State} */
    this.state = { name: "idle" };
    /** @type {Set<(state: State) => void>} */
    this.listeners = new Set();
    /** @type {Job[]} */
    this.waiting = [];
    /** @type {Job | null} */
    this.running = null;
    /** @type {WorkerLike | null} */
    this.worker = null;
    /**
     * How often a question stopped the worker, by its text.
     * @type {Map<string, number>}
     */
    this.stops = new Map();
    /**
     * When a whole answer was last given, by the question's key.
     * @type {Map<string | null, number>}
     */
    this.lastWhole = new Map();
    this.watchdog = new Watchdog();
    this.lastId = 0;
    // What the worker is called: one that stopped may have gone on from a memory that is bad, and the next shall not.
    this.name = "calculator";
  }

  /**
   * Hear every state, and at once the present one.
   * @param {(state: State) => void} listener
   */
  listen(listener) {
    this.listeners.add(listener);
    listener(this.state);
  }

  /** Start the worker if it is not running; after a failure only `retry` does. */
  start() {
    if (this.state.name === "idle") this.#spawn(null);
  }

  retry() {
    if (this.state.name === "failed") this.#spawn(null);
  }

  /**
   * Ask something. Resolves to the answer; to null where a newer question of the same key took its place; to
   * {refused: sentence} for a question that stopped the calculator twice. Whoever gives `more` is asked for in two
   * states: `more` is shown the first, which says so by `more: true` and holds what is quick, and the whole follows
   * unless something newer is asked meanwhile. While the worker has failed, a question waits for the retry.
   * @param {object} request
   * @param {{ key?: string, more?: (answer: Answer) => void }} how
   * @returns {Promise<Answer | null>}
   */
  ask(request, { key, more } = {}) {
    const text = JSON.stringify(request);
    const first = more ? JSON.stringify({ ...request, part: "first" }) : null;
    return new Promise((resolve) => {
      /** @type {Job} */
      const job = { id: 0, text, first, key: key ?? null, more: more ?? null, resolve };
      const older = key === undefined ? -1 : this.waiting.findIndex((other) => other.key === key);
      if (older >= 0) this.waiting.splice(older, 1, job)[0].resolve(null);
      else this.waiting.push(job);
      this.start();
      this.#next();
    });
  }

  /** @param {State} state */
  #say(state) {
    this.state = state;
    for (const listener of this.listeners) listener(state);
  }

  /** @param {string | null} sentence */
  #spawn(sentence) {
    this.#say({ name: "starting", stage: "start", loaded: 0, total: 0, sentence });
    /** @type {WorkerLike} */
    let worker;
    try {
      worker = this.make(this.address, this.name);
    } catch (error) {
      this.#failed(error instanceof Error ? error.message : String(error));
      return;
    }
    this.worker = worker;
    // An ended worker may still have messages under way: only the present one is heard.
    worker.onmessage = (event) => {
      if (this.worker === worker) this.#heard(event.data);
    };
    worker.onerror = (event) => {
      if (this.worker !== worker) return;
      event.preventDefault();
      this.#crashed(event.message);
    };
    worker.onmessageerror = () => {
      if (this.worker === worker) this.#crashed(BROKEN);
    };
    this.#watchStart();
  }

  // A start that never settles is known from its silence: a slow line still reports its bytes.
  #watchStart() {
    const seconds = Math.round(this.times.start / 1000);
    this.watchdog.set(this.times.start, () => this.#failed(`nothing was heard for ${seconds} s`));
  }

  /** @param {Message} data */
  #heard(data) {
    if (data.failed !== undefined) {
      if (this.running) this.#crashed(data.message ?? "");
      else this.#failed(data.message ?? "", data.failed);
    } else if (data.stage !== undefined) {
      if (this.state.name !== "starting") return;
      const { stage, loaded = 0, total = 0 } = data;
      this.#say({ ...this.state, stage, loaded, total });
      this.#watchStart();
    } else if (data.ready) {
      this.watchdog.stop();
      this.#say({ name: "ready" });
      this.#next();
    } else if (this.running && data.id === this.running.id) {
      this.#answered(this.running, readAnswer(data.answer ?? ""));
    }
  }

  /**
   * @param {Job} job
   * @param {Answer} answer
   */
  #answered(job, answer) {
    const unfinished = answer.more === true && job.first !== null;
    if (unfinished && !this.#isSuperseded(job)) {
      // The rest is asked for first, so that it is worked out while the page takes in what there is.
      this.#post(job, job.text);
      job.more?.(answer);
      return;
    }
    if (!unfinished) this.lastWhole.set(job.key, performance.now());
    this.watchdog.stop();
    this.running = null;
    // Ready is said before the answer is handed over, and the next question goes out without waiting for the page.
    this.#say({ name: "ready" });
    if (unfinished) job.more?.(answer);
    job.resolve(unfinished ? null : answer);
    this.#next();
  }

  /**
   * Whether the rest of an answer can be left out, for a newer question waits. Now and then it is given all the same.
   * @param {Job} job
   */
  #isSuperseded(job) {
    const newer = job.key !== null && this.waiting.some((other) => other.key === job.key);
    return newer && performance.now() - (this.lastWhole.get(job.key) ?? 0) < WHOLE_EVERY;
  }

  #next() {
    while (this.state.name === "ready" && !this.running) {
      const job = this.waiting.shift();
      if (!job) return;
      if ((this.stops.get(job.text) ?? 0) >= 2) {
        job.resolve({ refused: REFUSED });
        continue;
      }
      job.id = ++this.lastId;
      this.running = job;
      this.#say({ name: "working" });
      this.#post(job, job.first ?? job.text);
    }
  }

  /**
   * @param {Job} job
   * @param {string} text
   */
  #post(job, text) {
    this.#watchAnswer(job);
    this.worker?.postMessage({ id: job.id, ask: text });
  }

  /** @param {Job} job */
  #watchAnswer(job) {
    const seconds = Math.round(this.times.answer / 1000);
    this.watchdog.set(this.times.answer, () =>
      this.#stoppedBy(job, `The calculator did not answer within ${seconds} s and was ended. It is started again; your values are kept.`),
    );
  }

  /** @param {string} message */
  #crashed(message) {
    if (this.state.name === "starting") {
      this.#failed(message);
      return;
    }
    if (this.running) {
      this.#stoppedBy(this.running, "The calculator crashed. It is started again; your values are kept.");
      return;
    }
    // Nothing was asked of it: the next question, or touch, starts another.
    this.#end();
    this.name = FROM_FILES;
    this.#say({ name: "idle" });
  }

  /**
   * The running question stopped the worker: it waits for the next one, which refuses it the second time.
   * @param {Job} job
   * @param {string} sentence
   */
  #stoppedBy(job, sentence) {
    this.stops.set(job.text, (this.stops.get(job.text) ?? 0) + 1);
    this.#end();
    this.name = FROM_FILES;
    const newer = job.key !== null && this.waiting.some((other) => other.key === job.key);
    if (newer) job.resolve(null);
    else this.waiting.unshift(job);
    this.#spawn(sentence);
  }

  /**
   * @param {string} message
   * @param {string} stage
   */
  #failed(message, stage = this.state.stage ?? "start") {
    this.#end();
    // Nothing that was kept is to blame where a file did not come.
    if (stage !== "fetch") this.name = FROM_FILES;
    const why = message ? `: ${message.replace(/\.+$/, "")}` : "";
    const sentence = `The calculator could not be started. ${stageText(stage)} failed${why}.`;
    this.#say({ name: "failed", stage, sentence });
  }

  #end() {
    this.watchdog.stop();
    this.worker?.terminate();
    this.worker = null;
    this.running = null;
  }
}

/**
 * @param {URL} address
 * @param {string} name
 * @returns {WorkerLike}
 */
function makeWorker(address, name) {
  return new Worker(address, { type: "module", name });
}
