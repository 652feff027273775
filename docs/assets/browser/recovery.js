// A kept record that is damaged, older or newer: the package reads what can be read, and says what was ignored.

/** @import { Client } from "./client.js" */
/** @import { Notices } from "./notices.js" */
/** @import { Session } from "./session.js" */
/** @import { Store } from "./store.js" */

/**
 * Have a stored text read by the package, and take what it gives.
 * @param {string} text
 * @param {{ client: Client, store: Store, session: Session, notices: Notices }} parts
 */
export async function recoverRecord(text, { client, store, session, notices }) {
  const answer = await client.ask({ ask: "read", text });
  if (answer === null) return;
  const trouble = answer.refused ?? answer.broken;
  if (trouble !== undefined) {
    // Not read at all: what is stored stays as it is, and nothing is written over it.
    notices.add(`What this browser kept could not be read, and is left as it is. ${trouble}`);
    return;
  }
  const names = store.settle(answer.record ?? {});
  const sentences = (answer.problems ?? []).map((problem) => problem.sentence);
  for (const sentence of [...(answer.notes ?? []), ...sentences]) notices.add(sentence);
  session.taken(names);
}
