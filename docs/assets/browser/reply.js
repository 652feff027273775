// A worker's reply is JSON text. What cannot be read and what is no object are the same to the reader.

import { isObject, parseJson } from "./json.js";

export const BROKEN = "The calculator gave an answer that cannot be read.";

/** @import { Entries, Times } from "./entry.js" */

/**
 * One bow of a file as the package read it: `marks` are the entries that tell of its coming from elsewhere, `marked_by`
 * the fields by which it gets them.
 * @typedef {object} FileBow
 * @property {string} id
 * @property {Entries} record
 * @property {Times} times
 * @property {Entries} [marks]
 * @property {string[]} [marked_by]
 */

/**
 * An entry that cannot be used: where it is, "name" or "name.2.column", and why.
 * @typedef {{ field: string, sentence: string }} Problem
 */

/**
 * A bow's row in the rack, as the package made it; of a bolt its safe range and its place, each "" where it is not told.
 * @typedef {{ window: string, place: string }} BoltCell
 * @typedef {object} RackRow
 * @property {string} id
 * @property {string} state
 * @property {string} known
 * @property {string[]} more
 * @property {string} about
 * @property {BoltCell} upper
 * @property {BoltCell} lower
 * @property {string} inspected
 * @property {string} due a day, "now" or ""
 * @property {number} rank
 * @property {string[]} groups
 */

/**
 * What the package answers. Which of these there are goes with the question; why there are none is one sentence:
 * `refused` by the page or the package, `broken` where the package stumbled.
 * @typedef {object} Answer
 * @property {string} [refused]
 * @property {string} [broken]
 * @property {Problem[]} [problems]
 * @property {string[]} [notes]
 * @property {string | null} [html] the answer, and in `cuts` the lengths of its pieces, null for one still to come
 * @property {(number | null)[]} [cuts]
 * @property {[name: string, zone: string][]} [places] of each piece, its name and the zone it belongs in
 * @property {boolean} [more] whether the rest of the answer follows
 * @property {string} [state] which kind of answer it is
 * @property {string} [speak] a line to be spoken
 * @property {{ [name: string]: Entries }} [offers] what the answer's buttons enter
 * @property {Entries} [keeps] entries that the answer makes itself
 * @property {Entries} [record] the values of a link or of a stored text
 * @property {Entries} [marks] entries that tell of their coming from elsewhere
 * @property {string} [fragment] a link's, and in `brief` its shorter form
 * @property {string} [brief]
 * @property {string} [left] what a link leaves out, in a sentence
 * @property {string} [name] a file's name
 * @property {string} [text] a file's text
 * @property {FileBow[]} [bows] the bows of a file
 * @property {RackRow[]} [rows] those of a rack
 * @property {string[]} [sheets] what is printed of a rack, as HTML
 */

/**
 * The answer in a reply; {broken: sentence} where there is none.
 * @param {string} text
 * @returns {Answer}
 */
export function readAnswer(text) {
  const answer = parseJson(text);
  return isObject(answer) ? answer : { broken: BROKEN };
}
