// The one line that is spoken. It waits until the reader pauses: a live region that spoke at every keystroke would
// drown the page. The rest of the page changes quietly.

const PAUSE = 700;

export class Status {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  /** @type {Map<string, string>} */
  #lines = new Map();

  /** @param {HTMLElement} line */
  constructor(line) {
    this.line = line;
  }

  /**
   * Say a line after a pause. A newer line on the same topic takes its place; other topics are said along with it.
   * @param {string} text
   */
  say(text, topic = text) {
    this.#lines.set(topic, text);
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      const all = [...this.#lines.values()].join(" ");
      this.#lines.clear();
      if (this.line.textContent !== all) this.line.textContent = all;
    }, PAUSE);
  }
}
