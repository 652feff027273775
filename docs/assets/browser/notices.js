// What happened to the kept values: a short list above the form, each sentence once.

import { find, list, part } from "./dom.js";

export class Notices {
  /**
   * @param {HTMLElement} section
   * @param {(sentence: string) => void} say
   */
  constructor(section, say) {
    this.list = part(section, "qt-notices", "ul", (element) => find(section, ".qt-form").before(element));
    /** @type {string[]} */
    this.sentences = [];
    this.say = say;
  }

  /** @param {string} sentence */
  add(sentence) {
    if (this.sentences.includes(sentence)) return;
    this.sentences.push(sentence);
    list(this.list, this.sentences);
    this.say(sentence);
  }
}
