// A file of bows: its text, its name, and how one is read as far as a browser can. What is in it is the package's
// business. Nothing is sent anywhere.

import { changedAt, nameOf } from "./bow.js";
import { namesOf } from "./entry.js";

/** @import { Bow } from "./bow.js" */

const FORMAT = "quarter-turn bows";
const FILE_VERSION = 1;

/**
 * The text of a file with these bows, a bow a line.
 * @param {Bow[]} bows
 */
export function fileText(bows) {
  const lines = bows.map((bow) => JSON.stringify(written(bow)));
  return `{"format":${JSON.stringify(FORMAT)},"version":${FILE_VERSION},"bows":[\n${lines.join(",\n")}\n]}\n`;
}

/** @param {Bow} bow */
function written(bow) {
  const times = Object.fromEntries(Object.entries(bow.times).map(([name, time]) => [name, Math.round(time)]));
  const changed = Math.round(changedAt(bow));
  const names = ["version", ...namesOf(bow.record)];
  const record = Object.fromEntries(names.map((name) => [name, bow.record[name]]));
  return changed > 0 ? { id: bow.id, changed, times, record } : { id: bow.id, record };
}

/**
 * A name for the file, of letters that every system takes: of the one bow's name, or of all.
 * @param {Bow[]} bows
 */
export function fileName(bows, today = new Date()) {
  const name = bows.length === 1 ? nameOf(bows[0].record) || "bow" : "bows";
  const plain = name.normalize("NFKD").replace(/\p{M}/gu, "");
  const words = plain.replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, "").slice(0, 40) || "bow";
  const day = [today.getFullYear(), today.getMonth() + 1, today.getDate()].map((part) => String(part).padStart(2, "0"));
  return `${words.toLowerCase()}-${day.join("-")}.json`;
}

/**
 * A chosen file's text: {text}, or {refused: sentence}. One larger than `most` bytes is not read at all.
 * @param {Pick<File, "size" | "arrayBuffer">} file
 * @param {number} most
 * @returns {Promise<{ text: string, refused?: undefined } | { text?: undefined, refused: string }>}
 */
export async function readFile(file, most) {
  if (file.size > most) {
    const [has, may] = [file.size, most].map((bytes) => (bytes / 1e6).toFixed(1));
    const why = `it has ${has} MB, and a file of bows has at most ${may}`;
    return { refused: `The file is refused and was not read: ${why}.` };
  }
  try {
    return { text: new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer()) };
  } catch (error) {
    const why = error instanceof TypeError ? "it is not text in UTF-8" : "the browser could not read it";
    return { refused: `The file is refused: ${why}.` };
  }
}
