// Above the first form: which bow the page speaks of, where it has a name, and the way to the others.

import { SITE } from "./site_paths.js";
import { find, make, part } from "./dom.js";
import { nameOf } from "./bow.js";

/** @import { Session } from "./session.js" */

/**
 * @param {HTMLElement} section
 * @param {Session} session
 */
export function showCurrentBow(section, session) {
  const line = part(section, "qt-on-bench", "p", (element) => find(section, ".qt-form").before(element));
  const name = make("strong");
  const where = make("span");
  line.append(where, " ", name, " · ", make("a", { href: new URL("bows/", SITE).href, text: "your bows" }));
  const show = () => {
    where.textContent = session.linked ? "Bow of the link:" : "On the bench:";
    name.textContent = nameOf(session.shown);
    line.hidden = name.textContent === "";
  };
  session.listen(show);
  show();
}
