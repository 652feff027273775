// The one line that is spoken. It waits until the reader pauses: a live region that spoke at every keystroke would
// drown the page. The rest of the page changes quietly.

const PAUSE = 700;
// What a button did is shown so long, in milliseconds.
const SHOWN = 9000;
// What an answer says, and what a banner says of a link, stands on the page anyway.
const HEARD_ONLY = new Set(["answer", "link"]);

export class Status {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  /** @type {Map<string, string>} */
  #lines = new Map();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #shown;

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
      const isHeardOnly = [...this.#lines.keys()].every((each) => HEARD_ONLY.has(each));
      this.#lines.clear();
      if (this.line.textContent !== all) this.line.textContent = all;
      this.#show(!isHeardOnly);
    }, PAUSE);
  }

  /**
   * For style sheets: whether the line is only to be heard.
   * @param {boolean} isShown
   */
  #show(isShown) {
    clearTimeout(this.#shown);
    this.line.classList.toggle("qt-quiet", !isShown);
    if (isShown) this.#shown = setTimeout(() => this.line.classList.add("qt-quiet"), SHOWN);
  }
}
