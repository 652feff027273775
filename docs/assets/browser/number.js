// Numbers as people type them. Only the slider needs them here: the package parses the real value itself, so
// when in doubt this module says "no number" and the slider stays where it is.

const PLAIN = /^[+-]?(\d+[.,]?\d*|[.,]\d+)$/;

/**
 * The number in a typed text, or null. Comma and point both separate decimals; digits are never grouped.
 * @param {string} text
 */
export function parseTyped(text) {
  const plain = text.trim().replace("\u2212", "-");
  return PLAIN.test(plain) ? Number(plain.replace(",", ".")) : null;
}

/**
 * A slider's number as text with its unit's decimals; a comma where the replaced text had one.
 * @param {number | string} value
 * @param {number} decimals
 */
export function formatTyped(value, decimals, replaced = "") {
  const text = Number(value).toFixed(decimals);
  return replaced.includes(",") ? text.replace(".", ",") : text;
}
