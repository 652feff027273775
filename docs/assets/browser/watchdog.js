// One timeout of our own: starting a Python in a browser can end in a promise that never settles.

export class Watchdog {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /**
   * Call `late` after `milliseconds`, unless set again or stopped before.
   * @param {number} milliseconds
   * @param {() => void} late
   */
  set(milliseconds, late) {
    this.stop();
    this.#timer = setTimeout(late, milliseconds);
  }

  stop() {
    clearTimeout(this.#timer);
  }
}
