// One timeout of our own: starting a Python in a browser can end in a promise that never settles.

export class Watchdog {
  #timer = null;

  /** Call `late` after `milliseconds`, unless set again or stopped before. */
  set(milliseconds, late) {
    this.stop();
    this.#timer = setTimeout(late, milliseconds);
  }

  stop() {
    clearTimeout(this.#timer);
    this.#timer = null;
  }
}
