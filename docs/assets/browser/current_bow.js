// Which bow the page is about, where it has a name: in the menu, and above the first boxes while it is a link's.

import { SITE } from "./site_paths.js";
import { find, findMaybe, make, part } from "./dom.js";
import { nameOf } from "./bow.js";

/** @import { Session } from "./session.js" */

/**
 * @param {HTMLElement} section
 * @param {Session} session
 */
export function showCurrentBow(section, session) {
  const line = part(section, "qt-on-bench", "p", (element) => find(section, ".qt-form").before(element));
  const menu = findMaybe(document, ".qt-open-bow");
  const link = menu && findMaybe(menu, "a");
  const name = make("strong");
  const where = make("span");
  line.append(where, " ", name, " · ", make("a", { href: new URL("keep/#bows", SITE).href, text: "your bows" }));
  const show = () => {
    where.textContent = session.linked ? "Bow of the link:" : "Open bow:";
    name.textContent = nameOf(session.shown);
    line.hidden = name.textContent === "";
    if (!menu || !link) return;
    menu.hidden = line.hidden;
    link.textContent = name.textContent;
  };
  session.listen(show);
  show();
}
