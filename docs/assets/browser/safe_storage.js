// The browser's storage with every access caught. Storage can be forbidden (even reading the property throws),
// full, or emptied by the browser; the page works on in each case, and each is said once.

const SENTENCES = {
  forbidden: "This browser does not let the page keep your values: they are gone when the page is closed or loaded again.",
  full: "This browser's storage is full: your latest values are not kept when the page is closed or loaded again.",
};

// As the standard names it, and as older browsers do.
const FULL = new Set(["QuotaExceededError", "NS_ERROR_DOM_QUOTA_REACHED"]);

export class SafeStorage {
  /** @type {Set<keyof typeof SENTENCES>} */
  #said = new Set();

  /**
   * `say` gets a sentence, each at most once.
   * @param {string} key
   * @param {(sentence: string) => void} say
   */
  constructor(key, say) {
    this.key = key;
    this.say = say;
  }

  /** Whether the browser was found not to let us store anything. */
  get isForbidden() {
    return this.#said.has("forbidden");
  }

  /** The stored text; null where there is none or it cannot be had. */
  read(key = this.key) {
    try {
      return window.localStorage.getItem(key);
    } catch {
      this.#once("forbidden");
      return null;
    }
  }

  /**
   * Store a text; whether that worked.
   * @param {string} text
   */
  write(text, key = this.key) {
    try {
      window.localStorage.setItem(key, text);
      return true;
    } catch (error) {
      this.#once(error instanceof DOMException && FULL.has(error.name) ? "full" : "forbidden");
      return false;
    }
  }

  /**
   * Hear of texts that other tabs store under our key; null where the browser or another tab removed it.
   * @param {(text: string | null) => void} heard
   */
  listen(heard) {
    window.addEventListener("storage", (event) => {
      if (event.key === this.key || event.key === null) heard(event.newValue);
    });
  }

  /** @param {keyof typeof SENTENCES} kind */
  #once(kind) {
    if (this.#said.has(kind)) return;
    this.#said.add(kind);
    this.say(SENTENCES[kind]);
  }
}
