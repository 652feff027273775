// A browser as far as its storage goes: tabs that share it, and hear of what the others store once that is delivered.

/**
 * @typedef {{ key: string | null, newValue: string | null }} StorageChange
 * @typedef {(event: StorageChange) => void} Listener
 */

const NO_CHANGE = { key: null, newValue: null };

/** One storage, and the tabs that share it. */
export class FakeBrowser {
  /** @type {Map<string, string>} */
  items = new Map();
  /** @type {FakeTab[]} */
  tabs = [];
  /** @type {{ from: FakeTab, change: StorageChange }[]} */
  #underWay = [];

  /** Another tab. */
  tab() {
    const tab = new FakeTab(this);
    this.tabs.push(tab);
    return tab;
  }

  /**
   * What is stored under a key, read as JSON; null where there is nothing.
   * @param {string} key
   */
  stored(key) {
    return JSON.parse(this.items.get(key) ?? "null");
  }

  /**
   * @param {FakeTab} from
   * @param {StorageChange} change
   */
  tell(from, change) {
    this.#underWay.push({ from, change });
  }

  /** Let every tab hear of what the others stored, until there is no more to hear of. */
  deliver() {
    for (let next = this.#underWay.shift(); next; next = this.#underWay.shift()) {
      const { from, change } = next;
      for (const tab of this.tabs) if (tab !== from) tab.hear(change);
    }
  }

  /** The events that are under way never arrive, as in a page that lies in the back-forward cache. */
  lose() {
    this.#underWay.length = 0;
  }
}

/** One tab: the part of `window` that the modules use, while something runs in it. */
export class FakeTab {
  /** @type {{ kind: string, heard: Listener }[]} */
  #listeners = [];
  /** What is thrown by a write, or by the very property: a storage that is full, or forbidden. */
  fault = "";
  writes = 0;
  /**
   * What the tab alone remembers, over its pages.
   * @type {Map<string, string>}
   */
  ofTab = new Map();

  /** @param {FakeBrowser} browser */
  constructor(browser) {
    this.browser = browser;
  }

  get localStorage() {
    if (this.fault === "SecurityError") throw new DOMException("no", this.fault);
    const { items } = this.browser;
    return {
      /** @param {string} key */
      getItem: (key) => items.get(key) ?? null,
      /**
       * @param {string} key
       * @param {string} text
       */
      setItem: (key, text) => {
        if (this.fault) throw new DOMException("no", this.fault);
        this.writes += 1;
        items.set(key, text);
        this.browser.tell(this, { key, newValue: text });
      },
    };
  }

  get sessionStorage() {
    if (this.fault === "SecurityError") throw new DOMException("no", this.fault);
    const items = this.ofTab;
    return {
      /** @param {string} key */
      getItem: (key) => items.get(key) ?? null,
      /**
       * @param {string} key
       * @param {string} text
       */
      setItem: (key, text) => void items.set(key, text),
      /** @param {string} key */
      removeItem: (key) => void items.delete(key),
    };
  }

  /**
   * @param {string} kind
   * @param {Listener} heard
   */
  addEventListener(kind, heard) {
    this.#listeners.push({ kind, heard });
  }

  /**
   * An event of the tab's window comes.
   * @param {StorageChange} event
   */
  hear(event, kind = "storage") {
    this.run(() => {
      for (const listener of this.#listeners) if (listener.kind === kind) listener.heard(event);
    });
  }

  /** The address's fragment is another one. */
  changeHash() {
    this.hear(NO_CHANGE, "hashchange");
  }

  /** All that follows is done in this tab: for work that goes on after a wait. */
  stay() {
    /** @type {{ window?: unknown }} */ (globalThis).window = this;
  }

  /**
   * Do something in this tab.
   * @template T
   * @param {() => T} act
   * @returns {T}
   */
  run(act) {
    const scope = /** @type {{ window?: unknown }} */ (globalThis);
    const before = scope.window;
    scope.window = this;
    try {
      return act();
    } finally {
      scope.window = before;
    }
  }
}
