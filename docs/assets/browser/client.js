// The page's one worker, shared by all its calculators: two Pythons on one page would exhaust a phone.
// JSON strings go out and come back. One question runs; of those that wait, the newest of each key counts.
// A worker that hangs or crashes is ended and started again; the same question is tried twice, never a third time.

import { Watchdog } from "./watchdog.js";
import { readAnswer, BROKEN } from "./reply.js";
import { stageText } from "./loading_stages.js";

const REFUSED =
  "The calculator stopped twice on these same values, so they are not tried again. They are kept; change any of them to go on.";

// While a slider moves, a whole answer is given at least as often as this, in milliseconds.
const WHOLE_EVERY = 150;

export class Client {
  /**
   * `address` is the worker's; `startSilence` and `answerTime` are in milliseconds: how long the worker may say
   * nothing while it starts, and while it answers. `make` makes the worker (a seam, so that this can be tried alone).
   */
  constructor(address, { startSilence = 45_000, answerTime = 15_000, make = makeWorker } = {}) {
    this.address = address;
    this.times = { start: startSilence, answer: answerTime };
    this.make = make;
    this.state = { name: "idle" };
    this.listeners = new Set();
    this.waiting = [];
    this.running = null;
    this.strikes = new Map();
    this.whole = new Map();
    this.watchdog = new Watchdog();
    this.lastId = 0;
  }

  /** Hear every state: {name: idle | starting | ready | working | failed, stage, loaded, total, sentence}. */
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
   */
  ask(request, { key = null, more = null } = {}) {
    const text = JSON.stringify(request);
    const first = more ? JSON.stringify({ ...request, part: "first" }) : null;
    return new Promise((resolve) => {
      const job = { text, first, key, more, resolve };
      const older = key === null ? -1 : this.waiting.findIndex((other) => other.key === key);
      if (older >= 0) this.waiting.splice(older, 1, job)[0].resolve(null);
      else this.waiting.push(job);
      this.start();
      this.#next();
    });
  }

  #say(state) {
    this.state = state;
    for (const listener of this.listeners) listener(state);
  }

  #spawn(sentence) {
    this.#say({ name: "starting", stage: "start", loaded: 0, total: 0, sentence });
    try {
      this.worker = this.make(this.address);
    } catch (error) {
      this.#failed(error.message);
      return;
    }
    const { worker } = this;
    // An ended worker may still have messages under way: only the present one is heard.
    const present = (handle) => (event) => {
      if (this.worker === worker) handle(event);
    };
    worker.onmessage = present((event) => this.#heard(event.data));
    worker.onerror = present((event) => {
      event.preventDefault();
      this.#crashed(event.message);
    });
    worker.onmessageerror = present(() => this.#crashed(BROKEN));
    this.#watchStart();
  }

  // A start that never settles is known from its silence: a slow line still reports its bytes.
  #watchStart() {
    const seconds = Math.round(this.times.start / 1000);
    this.watchdog.set(this.times.start, () => this.#failed(`nothing was heard for ${seconds} s`));
  }

  #heard(data) {
    if (data.failed !== undefined) {
      if (this.running) this.#crashed(data.message);
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
      this.#answered(data);
    }
  }

  #answered(data) {
    const job = this.running;
    const answer = readAnswer(data.answer);
    const unfinished = answer.more === true && job.first !== null;
    if (unfinished && !this.#overtaken(job)) {
      // The rest is asked for first, so that it is worked out while the page takes in what there is.
      this.#post(job, job.text);
      job.more(answer);
      return;
    }
    if (!unfinished) this.whole.set(job.key, performance.now());
    this.watchdog.stop();
    this.running = null;
    // Ready is said before the answer is handed over, and the next question goes out without waiting for the page.
    this.#say({ name: "ready" });
    if (unfinished) job.more(answer);
    job.resolve(unfinished ? null : answer);
    this.#next();
  }

  /** Whether the rest of an answer can be left out, for a newer question waits. Now and then it is given all the same. */
  #overtaken(job) {
    const newer = job.key !== null && this.waiting.some((other) => other.key === job.key);
    return newer && performance.now() - (this.whole.get(job.key) ?? 0) < WHOLE_EVERY;
  }

  #next() {
    while (this.state.name === "ready" && !this.running && this.waiting.length > 0) {
      const job = this.waiting.shift();
      if ((this.strikes.get(job.text) ?? 0) >= 2) {
        job.resolve({ refused: REFUSED });
        continue;
      }
      job.id = ++this.lastId;
      this.running = job;
      this.#say({ name: "working" });
      this.#post(job, job.first ?? job.text);
    }
  }

  #post(job, text) {
    this.#watchAnswer();
    this.worker.postMessage({ id: job.id, ask: text });
  }

  #watchAnswer() {
    const seconds = Math.round(this.times.answer / 1000);
    this.watchdog.set(this.times.answer, () =>
      this.#struck(`The calculator did not answer within ${seconds} s and was ended. It is started again; your values are kept.`),
    );
  }

  #crashed(message) {
    if (this.state.name === "starting") {
      this.#failed(message ?? "");
      return;
    }
    if (this.running) {
      this.#struck("The calculator crashed. It is started again; your values are kept.");
      return;
    }
    // Nothing was asked of it: the next question, or touch, starts another.
    this.#end();
    this.#say({ name: "idle" });
  }

  /** The running question stopped the worker: it waits for the next one, which refuses it the second time. */
  #struck(sentence) {
    const job = this.running;
    this.strikes.set(job.text, (this.strikes.get(job.text) ?? 0) + 1);
    this.#end();
    const newer = job.key !== null && this.waiting.some((other) => other.key === job.key);
    if (newer) job.resolve(null);
    else this.waiting.unshift(job);
    this.#spawn(sentence);
  }

  #failed(message, stage = this.state.stage) {
    this.#end();
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

function makeWorker(address) {
  return new Worker(address, { type: "module", name: "calculator" });
}
