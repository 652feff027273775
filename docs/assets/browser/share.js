// "Copy a link": the package writes the record into a fragment, and the page puts it on the clipboard.

import { make, part } from "./dom.js";
import { namesOf } from "./entry.js";

/** Copy the page's address with the shown values. */
export function copyLink({ client, session, status, section }) {
  return shareRecord(session.forLink, { client, status, section, page: location.origin + location.pathname + location.search });
}

/** Copy a page's address with a record of a bow; where the clipboard is refused, show it to be copied by hand. */
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
  const box = linkBox(section);
  box.hidden = copied;
  if (copied) {
    status.say(`The link is copied. It carries the values of this bow.${left}`);
    return;
  }
  const input = box.querySelector("input");
  input.value = address;
  input.focus();
  input.select();
  status.say(`The browser does not let the page copy. The link is selected: copy it from the box.${left}`);
}

function trouble(answer) {
  return answer.problems?.[0]?.sentence ?? answer.notes?.[0] ?? answer.refused ?? answer.broken ?? "No link could be made.";
}

async function toClipboard(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    // Refused, or absent because the page was not fetched over a secure line.
    return false;
  }
}

function linkBox(section) {
  const box = part(section, "qt-link", "div", (element) => section.querySelector(".qt-tools").after(element));
  if (!box.firstChild) {
    const input = make("input", { type: "text", readOnly: true });
    // Outside the form: it is not a field of the record.
    box.append(make("label", { text: "Link with these values " }, [input]));
  }
  return box;
}
