// What is said of the choice of configurations to compare.
import { count, say } from "../common/say.js";
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

/**
 * Says what the figures shown are of: one method, or how many are mixed; "" where all are of one anyway.
 * @param {string} name of the method chosen, "" for any
 * @param {Published.Donning[]} tests
 */
export function methodWords(name, tests) {
  if (name) return say("method.by", { method: name });
  const methods = new Set(tests.map((test) => test.method)).size;
  const wearers = count("wearer", new Set(tests.map((test) => test.wearer)).size);
  return methods > 1 ? say("method.mixed", { methods, wearers }) : "";
}

/**
 * Names the configurations that nobody measured by the method chosen; "" for none.
 * @param {string[]} labels
 */
export function notMeasuredWords(labels) {
  return labels.length ? say("method.none_of", { configurations: labels.join(", ") }) : "";
}
