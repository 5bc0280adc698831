// What is said of the choice of configurations to compare.
import { say } from "../common/say.js";
import { MOST } from "./choice.js";

/**
 * Names what was left out because more cannot be compared; "" for nothing.
 * @param {string[]} tooMany
 */
export function tooManyWords(tooMany) {
  return tooMany.length ? say("choice.too_many", { most: MOST, configurations: tooMany.join(", ") }) : "";
}

/**
 * Names what an address asks for and this page leaves out; "" for nothing.
 * @param {{unknown: string[], tooMany: string[]}} left
 */
export function leftOutWords({ unknown, tooMany }) {
  const missing = unknown.length ? say("choice.unknown", { configurations: unknown.join(", ") }) : "";
  return [missing, tooManyWords(tooMany)].filter(Boolean).join(" ");
}
