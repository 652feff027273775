// What the calculator is doing: fetching, starting, working, failed. Shown, not spoken; a failure is spoken once.

import { button, find, make, part } from "./dom.js";
import { stageText } from "./loading_stages.js";

/** @import { State } from "./client.js" */

// A calculation that is done sooner is not worth a word: the line would only flicker.
const SOON = 400;

export class Loading {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /**
   * @param {HTMLElement} section
   * @param {{ retry: () => void, say: (sentence: string) => void }} parts
   */
  constructor(section, { retry, say }) {
    this.section = section;
    this.say = say;
    this.bar = find(section, ".qt-progress:not(.qt-page .qt-bows *)", HTMLProgressElement);
    this.line = part(section, "qt-stage", "p", (element) => this.bar.before(element));
    this.trouble = part(section, "qt-trouble", "div", (element) => this.bar.after(element));
    this.retry = button("Try again", "retry", retry);
  }

  /** @param {State} state */
  show(state) {
    this.section.dataset.calc = state.name;
    clearTimeout(this.#timer);
    this.bar.hidden = state.name !== "starting";
    this.line.hidden = true;
    if (state.name === "starting") this.#progress(state);
    if (state.name === "working") this.#timer = setTimeout(() => this.#write("Working it out …"), SOON);
    if (state.sentence) this.#explain(state.sentence, state.name === "failed");
    // A sentence about an ended worker stays until its successor is ready.
    if (state.name === "ready") this.trouble.hidden = true;
  }

  /** @param {State} state */
  #progress({ stage = "", loaded = 0, total = 0 }) {
    if (total > 0) {
      this.bar.max = total;
      this.bar.value = Math.min(loaded, total);
    } else {
      // Without a value the bar says "under way" instead of "nothing yet".
      this.bar.removeAttribute("value");
    }
    const words = stageText(stage);
    this.#write(total > 0 ? `${words}: ${megabytes(loaded)} of ${megabytes(total)} MB` : `${words} …`);
  }

  /**
   * @param {string} sentence
   * @param {boolean} failed
   */
  #explain(sentence, failed) {
    const same = !this.trouble.hidden && this.trouble.firstChild?.textContent === sentence;
    if (same) return;
    const advice = "The page can be read all the same, but nothing you enter is answered until this works.";
    /** @type {HTMLElement[]} */
    const words = [make("p", { text: sentence })];
    if (failed) words.push(make("p", { text: advice }), this.retry);
    this.trouble.replaceChildren(...words);
    this.trouble.hidden = false;
    this.say(sentence);
  }

  /** @param {string} text */
  #write(text) {
    this.line.textContent = text;
    this.line.hidden = false;
  }
}

/** @param {number} bytes */
function megabytes(bytes) {
  return (bytes / 1e6).toFixed(1);
}
