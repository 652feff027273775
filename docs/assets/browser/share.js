// "Copy a link": the package writes the record into a fragment, and the page puts it on the clipboard.

import { findMaybe, make, part } from "./dom.js";
import { SITE } from "./site_paths.js";
import { namesOf } from "./entry.js";

/** @import { Answer } from "./reply.js" */
/** @import { Client } from "./client.js" */
/** @import { Entries } from "./entry.js" */
/** @import { Session } from "./session.js" */
/** @import { Status } from "./status.js" */

/**
 * Copy the address of the first page with the shown values: whoever opens it sees the result first.
 * @param {{ client: Client, session: Session, status: Status, section: HTMLElement }} widget
 */
export function copyLink({ client, session, status, section }) {
  return shareRecord(session.forLink, { client, status, section, page: SITE.href });
}

/**
 * Copy a page's address with a record of a bow; where the clipboard is refused, show it to be copied by hand.
 * @param {Entries} record
 * @param {{ client: Client, status: Status, section: HTMLElement, page: string }} where
 */
export async function shareRecord(record, { client, status, section, page }) {
  if (namesOf(record).length === 0) {
    status.say("Nothing has been entered yet, so there is nothing to put into a link.");
    return;
  }
  const answer = await client.ask({ ask: "link", record }, { key: "link" });
  if (answer === null) return;
  if (typeof answer.fragment !== "string") {
    status.say(trouble(answer));
    return;
  }
  const left = answer.left ? ` ${answer.left}` : "";
  const address = `${page}#${answer.fragment}`;
  const copied = await toClipboard(address);
  const { box, input } = linkBox(section);
  box.hidden = copied;
  if (copied) {
    status.say(`The link is copied. It carries the values of this bow.${left}`);
    return;
  }
  input.value = address;
  input.focus();
  input.select();
  status.say(`The browser does not let the page copy. The link is selected: copy it from the box.${left}`);
}

/** @param {Answer} answer */
function trouble(answer) {
  return answer.problems?.[0]?.sentence ?? answer.notes?.[0] ?? answer.refused ?? answer.broken ?? "No link could be made.";
}

/**
 * Put a text on the clipboard; whether the browser let us.
 * @param {string} text
 */
export async function toClipboard(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    // Refused, or absent because the page was not fetched over a secure line.
    return false;
  }
}

/** @param {HTMLElement} section */
function linkBox(section) {
  const box = part(section, "qt-link", "div", (element) => [...section.querySelectorAll(".qt-tools")].at(-1)?.after(element));
  const known = findMaybe(box, "input", HTMLInputElement);
  const input = known ?? make("input", { type: "text", readOnly: true });
  // Outside the form: it is not a field of the record.
  if (!known) box.append(make("label", { text: "Link with these values " }, [input]));
  return { box, input };
}
