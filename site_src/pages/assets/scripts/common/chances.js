// Chances in words: the very text that the builder prints for the same.
import { say } from "./say.js";

/** Percent; no chance is said to be nearer to certain than that. */
export const STEP = 5;

/**
 * A multiple of 5 %, halves up.
 * @param {number} chance
 */
export function percent(chance) {
  return STEP * Math.floor((100 / STEP) * chance + 0.5);
}

/**
 * "about 80 %", never as certain.
 * @param {number} chance
 */
export function chanceText(chance) {
  const rounded = percent(chance);
  if (rounded === 0) return say("chance.under", { percent: STEP });
  if (rounded === 100) return say("chance.over", { percent: 100 - STEP });
  return say("chance.about", { percent: rounded });
}
