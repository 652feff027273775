// A list that was changed in two tabs. In a list that is being edited here the rows of the other tab are not shown yet,
// and must not be lost by the next keystroke.

import { sameEntry } from "./entry.js";

/** @import { Entry } from "./entry.js" */

/**
 * The list entered here, `mine`, with what another tab did to it: `theirs` is that tab's list, and `base` what stood here
 * before this change. Lists are arrays of rows, or null; the result too. A row that both changed stays in both states.
 * Where one of them is no list, it is `mine` as it is.
 * @param {Entry | null} mine
 * @param {Entry | null | undefined} theirs
 * @param {Entry | null | undefined} base
 * @returns {Entry | null}
 */
export function mergeRows(mine, theirs, base) {
  const [before, after, rows] = [base ?? [], theirs ?? [], mine ?? []];
  if (!Array.isArray(after) || !Array.isArray(rows) || !Array.isArray(before) || sameEntry(theirs, base)) return mine;
  const came = after.filter((row) => !has(before, row) && !has(rows, row));
  const merged = rows.flatMap((row) => {
    if (has(after, row) || !has(before, row)) return [row];
    // It was changed there, in its place, or removed.
    const place = came.indexOf(after[placeOf(before, row)]);
    return place < 0 ? [] : came.splice(place, 1);
  });
  merged.push(...came);
  return merged.length > 0 ? merged : null;
}

/**
 * @param {unknown[]} rows
 * @param {unknown} row
 */
function has(rows, row) {
  return placeOf(rows, row) >= 0;
}

/**
 * @param {unknown[]} rows
 * @param {unknown} wanted
 */
function placeOf(rows, wanted) {
  return rows.findIndex((row) => sameEntry([row], [wanted]));
}
