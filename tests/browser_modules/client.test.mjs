// The one worker: its start, its failures, its hangs, and which question wins. What the page shows of it is looked at in
// test_worker_life.py.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { Client } from "../../docs/assets/browser/client.js";

/** @import { TestContext } from "node:test" */
/** @import { Answer } from "../../docs/assets/browser/reply.js" */
/** @import { State, WorkerLike } from "../../docs/assets/browser/client.js" */

const START_SILENCE = 45_000;
const ANSWER_TIME = 15_000;
const REFUSED = /stopped twice on these same values/;

/** @typedef {{ id: number, name: string, part: string | undefined }} Asked */

/**
 * A worker that says what the test has it say, and notes what it is asked.
 * @implements {WorkerLike}
 */
class FakeWorker {
  /** @type {Asked[]} */
  asked = [];
  isEnded = false;

  constructor(name = "") {
    this.name = name;
  }

  /** @type {WorkerLike["onmessage"]} */
  onmessage = null;
  /** @type {WorkerLike["onerror"]} */
  onerror = null;
  /** @type {WorkerLike["onmessageerror"]} */
  onmessageerror = null;

  /** @param {{ id: number, ask: string }} message */
  postMessage({ id, ask: text }) {
    const { name, part } = JSON.parse(text);
    this.asked.push({ id, name, part });
  }

  terminate() {
    this.isEnded = true;
  }

  get #asWorker() {
    return /** @type {Worker} */ (/** @type {unknown} */ (this));
  }

  /** @param {object} data */
  say(data) {
    this.onmessage?.call(this.#asWorker, new MessageEvent("message", { data }));
  }

  /** @param {object} answer */
  answer(answer) {
    this.say({ id: this.asked.at(-1)?.id, answer: JSON.stringify(answer) });
  }

  /** A message comes that the browser cannot read. */
  garble() {
    this.onmessageerror?.call(this.#asWorker, new MessageEvent("messageerror"));
  }

  /** @param {string} message */
  crash(message) {
    const event = Object.assign(new Event("error", { cancelable: true }), { message });
    this.onerror?.call(this.#asWorker, /** @type {ErrorEvent} */ (event));
    assert.ok(event.defaultPrevented);
  }
}

/** @type {FakeWorker[]} */
let workers = [];
/** @type {State[]} */
let states = [];
let now = 0;

beforeEach((context) => {
  const { mock } = /** @type {TestContext} */ (context);
  workers = [];
  states = [];
  now = 1_000_000;
  mock.timers.enable({ apis: ["setTimeout"] });
  mock.method(performance, "now", () => now);
});

/** A client whose workers are made here. */
function open() {
  const make = (/** @type {URL} */ _address, /** @type {string} */ name) => {
    const worker = new FakeWorker(name);
    workers.push(worker);
    return worker;
  };
  const client = new Client(new URL("file:///worker.js"), { startSilence: START_SILENCE, answerTime: ANSWER_TIME, make });
  client.listen((state) => states.push(state));
  return client;
}

/** A client whose worker is ready. */
function ready() {
  const client = open();
  client.start();
  workers[0].say({ ready: true });
  return { client, worker: workers[0] };
}

/**
 * Ask about a bow of this name; what came so far, first parts too.
 * @param {Client} client
 * @param {string} name
 */
function ask(client, name, { inParts = false } = {}) {
  /** @type {(Answer | null)[]} */
  const came = [];
  const more = inParts ? (/** @type {Answer} */ answer) => void came.push(answer) : undefined;
  client.ask({ name }, { key: "answer", more }).then((answer) => came.push(answer));
  return came;
}

/** What the client is doing. */
const present = () => states.at(-1);

/** What all workers have been asked: the names, with the part where only one was asked for. */
const asked = () => workers.flatMap((worker) => worker.asked.map(({ name, part }) => (part ? `${name}, ${part}` : name)));

/** Let what was resolved be heard. */
const settle = () => new Promise((resolve) => setImmediate(resolve));

/**
 * Let the client's clocks pass.
 * @param {{ mock: TestContext["mock"] }} context
 * @param {number} milliseconds
 */
function pass({ mock }, milliseconds) {
  now += milliseconds;
  mock.timers.tick(milliseconds);
}

test("nothing is started before it is needed, and only one worker is", () => {
  const client = open();
  assert.deepEqual(states, [{ name: "idle" }]);
  client.start();
  client.start();
  ask(client, "a");
  assert.equal(workers.length, 1);
  assert.deepEqual(asked(), []);
  workers[0].say({ ready: true });
  assert.deepEqual(asked(), ["a"]);
  assert.equal(present()?.name, "working");
});

test("progress is told in bytes", () => {
  const client = open();
  client.start();
  workers[0].say({ stage: "fetch", loaded: 1_500_000, total: 3_000_000 });
  const state = { name: "starting", stage: "fetch", loaded: 1_500_000, total: 3_000_000, sentence: null };
  assert.deepEqual(present(), state);
});

test("a slow line that moves is not given up", (t) => {
  const client = open();
  client.start();
  for (const loaded of [0, 1, 2]) {
    pass(t, (START_SILENCE * 2) / 3);
    workers[0].say({ stage: "fetch", loaded, total: 3 });
  }
  pass(t, (START_SILENCE * 2) / 3);
  workers[0].say({ ready: true });
  assert.equal(present()?.name, "ready");
});

/** @type {[string, (t: TestContext) => void, string][]} */
const STARTS = [
  [
    "a file is missing",
    () => workers[0].say({ failed: "fetch", message: "the file library.zip is missing." }),
    "Fetching the calculator failed: the file library.zip is missing.",
  ],
  ["silence", (t) => pass(t, START_SILENCE), "Starting the calculator failed: nothing was heard for 45 s."],
  ["an error", () => workers[0].crash("Uncaught Error: broken"), "Starting the calculator failed: Uncaught Error: broken."],
  ["nothing said", () => workers[0].crash(""), "Starting the calculator failed."],
];
for (const [name, fail, sentence] of STARTS) {
  test(`a failed start says why and can be tried again: ${name}`, async (t) => {
    const client = open();
    const came = ask(client, "a");
    fail(t);
    assert.equal(present()?.name, "failed");
    assert.equal(present()?.sentence, `The calculator could not be started. ${sentence}`);
    assert.ok(workers[0].isEnded);
    // Only a retry starts another; the question waits for it.
    client.start();
    ask(client, "b");
    assert.equal(workers.length, 1);
    client.retry();
    workers[1].say({ ready: true });
    workers[1].answer({ html: "b" });
    await settle();
    assert.deepEqual(came, [null]);
    assert.deepEqual(asked(), ["b"]);
    client.retry();
    assert.equal(workers.length, 2);
  });
}

/** What stops a worker that is ready: by itself, or for good with a question. */
const STOPS = [
  (/** @type {FakeWorker} */ worker) => worker.crash("out of memory"),
  (/** @type {FakeWorker} */ worker) => worker.say({ failed: "ready", message: "unreachable" }),
  (/** @type {FakeWorker} */ _, /** @type {TestContext} */ t) => pass(t, ANSWER_TIME),
];
for (const [index, stop] of STOPS.entries()) {
  test(`after one that stopped the next starts from its files, for good: ${index}`, (t) => {
    const { client, worker } = ready();
    assert.equal(worker.name, "calculator");
    ask(client, "a");
    stop(worker, t);
    workers[1].say({ ready: true });
    workers[1].crash("");
    assert.deepEqual(
      workers.map(({ name }) => name),
      ["calculator", "from its files", "from its files"],
    );
  });
}

test("one that crashed while nothing was asked, or could not start, is followed by one from its files too", () => {
  const { client, worker } = ready();
  worker.crash("");
  client.start();
  assert.equal(workers[1].name, "from its files");
  const other = open();
  other.start();
  workers[2].say({ failed: "start", message: "" });
  other.retry();
  assert.equal(workers[3].name, "from its files");
});

test("a file that did not come is no reason to leave what is kept", () => {
  const client = open();
  client.start();
  workers[0].say({ failed: "fetch", message: "the file library.zip is missing." });
  client.retry();
  assert.equal(workers[1].name, "calculator");
});

test("a worker that cannot be made is a failed start", () => {
  const make = () => {
    throw new Error("refused");
  };
  const client = new Client(new URL("file:///worker.js"), { make });
  client.start();
  assert.equal(client.state.name, "failed");
  assert.equal(client.state.sentence, "The calculator could not be started. Starting the calculator failed: refused.");
});

test("of the questions that wait, the newest counts", async () => {
  const { client, worker } = ready();
  const all = Array.from({ length: 20 }, (_, number) => ask(client, String(number)));
  worker.answer({ html: "0" });
  worker.answer({ html: "19" });
  await settle();
  // The first ran already; of those that came while it ran only the newest was asked.
  assert.deepEqual(asked(), ["0", "19"]);
  assert.deepEqual(all[0], [{ html: "0" }]);
  assert.deepEqual(all[19], [{ html: "19" }]);
  for (const one of all.slice(1, 19)) assert.deepEqual(one, [null]);
});

test("questions of other keys, or of none, are all asked", () => {
  const { client, worker } = ready();
  for (const [name, key] of [["a", "one"], ["b", "two"], ["c", undefined], ["d", undefined]]) client.ask({ name }, { key });
  for (let times = 0; times < 3; times += 1) worker.answer({});
  assert.deepEqual(asked(), ["a", "b", "c", "d"]);
});

test("what is quick of an answer comes first", async () => {
  const { client, worker } = ready();
  const came = ask(client, "a", { inParts: true });
  worker.answer({ html: "quick", more: true });
  // The rest is asked for before the first part is taken in, and the calculator works on.
  assert.deepEqual(asked(), ["a, first", "a"]);
  assert.deepEqual(came, [{ html: "quick", more: true }]);
  assert.equal(present()?.name, "working");
  worker.answer({ html: "whole", more: false });
  await settle();
  assert.deepEqual(came.at(-1), { html: "whole", more: false });
  assert.equal(present()?.name, "ready");
});

test("an answer that is whole at once is asked for once", async () => {
  const { client, worker } = ready();
  const came = ask(client, "a", { inParts: true });
  worker.answer({ html: "whole" });
  await settle();
  assert.deepEqual(asked(), ["a, first"]);
  assert.deepEqual(came, [{ html: "whole" }]);
});

/** @type {[string, number, string[]][]} */
const WAITED = [
  ["just now", 0, []],
  ["long ago", 1_000, ["b"]],
];
for (const [name, waited, rest] of WAITED) {
  test(`the rest gives way to a newer question, but not for ever: the last whole answer is from ${name}`, async (t) => {
    const { client, worker } = ready();
    ask(client, "a", { inParts: true });
    worker.answer({ more: true });
    worker.answer({ more: false });
    const held = ask(client, "b", { inParts: true });
    const newer = ask(client, "c", { inParts: true });
    pass(t, waited);
    worker.answer({ html: "quick b", more: true });
    if (rest.length > 0) worker.answer({ html: "slow b", more: false });
    worker.answer({ html: "quick c", more: true });
    worker.answer({ html: "slow c", more: false });
    await settle();
    const parts = ["a, first", "a", "b, first", ...rest, "c, first", "c"];
    assert.deepEqual(asked(), parts);
    assert.deepEqual(held.map((one) => one?.html), ["quick b", rest.length > 0 ? "slow b" : undefined]);
    assert.deepEqual(newer.map((one) => one?.html), ["quick c", "slow c"]);
  });
}

test("a hang is ended, tried once more, and then refused", async (t) => {
  const { client } = ready();
  const came = ask(client, "hang");
  for (const times of [1, 2]) {
    const worker = workers[times - 1];
    pass(t, ANSWER_TIME - 1);
    assert.ok(!worker.isEnded);
    pass(t, 1);
    assert.ok(worker.isEnded);
    assert.match(present()?.sentence ?? "", /did not answer within 15 s and was ended/);
    assert.equal(present()?.name, "starting");
    workers[times].say({ ready: true });
  }
  await settle();
  assert.match(came[0]?.refused ?? "", REFUSED);
  assert.equal(present()?.name, "ready");
  assert.deepEqual(asked(), ["hang", "hang"]);
  // Another one is answered; the same values once more are refused without being asked.
  const other = ask(client, "other");
  workers[2].answer({ html: "other" });
  const again = ask(client, "hang");
  await settle();
  assert.deepEqual(other, [{ html: "other" }]);
  assert.match(again[0]?.refused ?? "", REFUSED);
  assert.deepEqual(asked(), ["hang", "hang", "other"]);
});

test("one hang is healed by a new worker", async (t) => {
  const { client } = ready();
  const came = ask(client, "hang once");
  pass(t, ANSWER_TIME);
  workers[1].say({ ready: true });
  workers[1].answer({ html: "healed" });
  await settle();
  assert.deepEqual(came, [{ html: "healed" }]);
  assert.deepEqual(present(), { name: "ready" });
});

test("a change during a hang is answered, and the hang is not tried again", async (t) => {
  const { client } = ready();
  const came = ask(client, "hang");
  const fine = ask(client, "fine");
  pass(t, ANSWER_TIME);
  workers[1].say({ ready: true });
  workers[1].answer({ html: "fine" });
  await settle();
  assert.deepEqual([came, fine], [[null], [{ html: "fine" }]]);
  assert.deepEqual(asked(), ["hang", "fine"]);
});

/** @type {[string, (worker: FakeWorker) => void][]} */
const CRASHES = [
  ["an error that nobody caught", (worker) => worker.crash("out of memory")],
  ["one that the worker tells of", (worker) => worker.say({ failed: "ready", message: "out of memory" })],
  ["a message that cannot be read", (worker) => worker.garble()],
];
for (const [name, crash] of CRASHES) {
  test(`a crash is treated like a hang: ${name}`, async () => {
    const { client } = ready();
    const came = ask(client, "crash");
    crash(workers[0]);
    assert.match(present()?.sentence ?? "", /The calculator crashed\. It is started again; your values are kept\./);
    workers[1].say({ ready: true });
    crash(workers[1]);
    workers[2].say({ ready: true });
    await settle();
    assert.match(came[0]?.refused ?? "", REFUSED);
    const fine = ask(client, "fine");
    workers[2].answer({ html: "fine" });
    await settle();
    assert.deepEqual(fine, [{ html: "fine" }]);
  });
}

test("a crash while nothing is asked is no word worth: the next question starts another worker", () => {
  const { client, worker } = ready();
  worker.crash("out of memory");
  assert.ok(worker.isEnded);
  assert.deepEqual(present(), { name: "idle" });
  ask(client, "a");
  assert.equal(workers.length, 2);
});

test("an ended worker is not heard any more", async (t) => {
  const { client } = ready();
  const came = ask(client, "slow");
  pass(t, ANSWER_TIME);
  workers[0].answer({ html: "too late" });
  workers[0].say({ failed: "ready", message: "too late" });
  await settle();
  assert.deepEqual(came, []);
  assert.equal(present()?.name, "starting");
});

for (const [reply, answer] of [
  ['{"broken":"An exception."}', { broken: "An exception." }],
  ["{broken", { broken: "The calculator gave an answer that cannot be read." }],
  ["[]", { broken: "The calculator gave an answer that cannot be read." }],
  ["null", { broken: "The calculator gave an answer that cannot be read." }],
]) {
  test(`an exception, and what cannot be read, is a sentence: ${reply}`, async () => {
    const { client, worker } = ready();
    const came = ask(client, "a");
    worker.say({ id: worker.asked[0].id, answer: reply });
    await settle();
    assert.deepEqual(came, [answer]);
    assert.equal(present()?.name, "ready");
  });
}
