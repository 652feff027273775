// A worker's reply is JSON text. What cannot be read and what is no object are the same to the reader.

export const BROKEN = "The calculator gave an answer that cannot be read.";

/** The answer in a reply; {broken: sentence} where there is none. */
export function readAnswer(text) {
  try {
    const answer = JSON.parse(text);
    if (typeof answer === "object" && answer !== null) return answer;
  } catch {
    // Said below.
  }
  return { broken: BROKEN };
}
