// The one line that is spoken. It waits until the reader pauses, and says only the newest: a live region that
// spoke at every keystroke would drown the page. The rest of the page changes quietly.

const PAUSE = 700;

export class Status {
  #timer = null;

  constructor(line) {
    this.line = line;
  }

  /** Say a line after a pause. */
  say(text) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      if (this.line.textContent !== text) this.line.textContent = text;
    }, PAUSE);
  }
}
