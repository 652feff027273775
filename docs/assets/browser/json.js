// Data whose shape is not known yet: what JSON text holds, and objects of which only that is known.

/**
 * Whether a value is an object with names, neither null nor an array.
 * @param {unknown} value
 * @returns {value is Record<string, unknown>}
 */
export function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/**
 * The value of a JSON text; null where it is none.
 * @param {string} text
 * @returns {unknown}
 */
export function parseJson(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/**
 * Objects made one, later ones over earlier ones, without a prototype: a name such as "__proto__" is then a name like any
 * other.
 * @template {object} T
 * @param {...T} parts
 * @returns {T}
 */
export function withoutPrototype(...parts) {
  return Object.assign(Object.create(null), ...parts);
}
