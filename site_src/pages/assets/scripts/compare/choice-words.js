// What is said of the choice of configurations to compare.
import { MOST } from "./choice.js";

export const MOST_WORDS = `At most ${MOST} can be compared`;
export const FULL = `${MOST_WORDS}. Remove one first.`;

/**
 * Names what was left out because more cannot be compared; "" for nothing.
 * @param {string[]} tooMany
 */
export function tooManyWords(tooMany) {
  return tooMany.length ? `${MOST_WORDS}, so ${tooMany.join(", ")} was left out.` : "";
}

/**
 * Names what an address asks for and this page leaves out; "" for nothing.
 * @param {{unknown: string[], tooMany: string[]}} left
 */
export function leftOutWords({ unknown, tooMany }) {
  const missing = unknown.length ? `There is no test that counts of ${unknown.join(", ")} here. It was left out.` : "";
  return [missing, tooManyWords(tooMany)].filter(Boolean).join(" ");
}
