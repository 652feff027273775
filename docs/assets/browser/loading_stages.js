// The worker names its stages by one word each; these are the words for a reader.

/** @type {{ [stage: string]: string }} */
const WORDS = {
  fetch: "Fetching the calculator",
  start: "Starting the calculator",
  package: "Loading what it calculates with",
};

/**
 * A stage in words; a stage that is not known here speaks for itself.
 * @param {string} stage
 */
export function stageText(stage) {
  return WORDS[stage] ?? stage;
}
