// "Save as a table": the package writes the text, and the browser saves it as a file.

import { download } from "./download.js";

/** @import { Client } from "./client.js" */
/** @import { Session } from "./session.js" */
/** @import { Status } from "./status.js" */

/**
 * Ask for the table of the shown record and save it; what cannot be saved, or is left out of it, is said.
 * @param {{ client: Client, session: Session, status: Status, section: HTMLElement }} widget
 */
export async function saveCsv({ client, session, status, section }) {
  const { units } = section.dataset;
  const answer = await client.ask({ ask: "csv", record: session.shown, units }, { key: "csv" });
  if (answer === null) return;
  const { name, text, notes = [], problems = [] } = answer;
  if (text === undefined || name === undefined) {
    const sentences = problems.map(({ sentence }) => sentence);
    status.say(answer.refused ?? answer.broken ?? sentences.join(" "));
    return;
  }
  download(name, text, "text/csv;charset=utf-8");
  status.say([`Saved as ${name}.`, ...notes].join(" "));
}
