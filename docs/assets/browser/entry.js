// One entry of the flat record: {"typed": text, "unit": unit}. A plain text or number is accepted from outside.
// The entry of a list is an array of rows, each an object with an entry a column.

const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/** The typed text of an entry; "" when there is none. */
export function typedOf(entry) {
  const typed = isObject(entry) ? entry.typed : entry;
  return typeof typed === "string" || typeof typed === "number" ? String(typed) : "";
}

/** The unit of an entry, or null when it names none. */
export function unitOf(entry) {
  return isObject(entry) && typeof entry.unit === "string" ? entry.unit : null;
}

/** Whether two entries say the same, written in whichever way; an absent one is undefined or null. */
export function sameEntry(one, other) {
  return said(one) === said(other);
}

/** An order of entries, the same in every tab: what says the same is 0. */
export function compareEntries(one, other) {
  const [first, second] = [said(one), said(other)];
  return Number(first > second) - Number(first < second);
}

function said(entry) {
  if (Array.isArray(entry)) return JSON.stringify(entry.map(saidRow));
  const [typed, unit] = isObject(entry) ? [entry.typed, entry.unit] : [entry, null];
  return JSON.stringify([typeof typed === "number" ? String(typed) : (typed ?? null), unit ?? null]);
}

function saidRow(row) {
  if (!isObject(row)) return [];
  return Object.keys(row).sort().map((column) => [column, said(row[column])]);
}

/** Where a problem lies: {name} for a field, {name, row, column} for a box of a list, "name.2.column". */
export function placeOf(field) {
  const [name, row, column] = field.split(".");
  return row === undefined ? { name } : { name, row: Number(row), column };
}

/** Whether a value has the shape of an entry. What it means is the package's business. */
export function isEntry(value) {
  if (isObject(value)) return "typed" in value;
  return typeof value === "string" || typeof value === "number" || Array.isArray(value);
}

/** The names in a record, without its version. */
export function namesOf(record) {
  return Object.keys(record).filter((name) => name !== "version");
}
