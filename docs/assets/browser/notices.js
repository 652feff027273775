// What happened to the kept values: a short list above the form, each sentence once.

import { list, part } from "./dom.js";

export class Notices {
  constructor(section, say) {
    this.list = part(section, "qt-notices", "ul", (element) => section.querySelector(".qt-form").before(element));
    this.sentences = [];
    this.say = say;
  }

  add(sentence) {
    if (this.sentences.includes(sentence)) return;
    this.sentences.push(sentence);
    list(this.list, this.sentences);
    this.say(sentence);
  }
}
