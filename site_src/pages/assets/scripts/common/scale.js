// The axis of every picture of fit factors: logarithmic, from 1 to a power of ten where it is that of all pictures.
import { LEVELS } from "../words/levels.js";

/** The fit factor a half mask must reach. */
export const PASS_LEVEL = LEVELS.pass_level;

/**
 * Gives where a fit factor lies on an axis `width` wide, with a margin at either end.
 * @param {number} top fit factor at the end of the axis
 * @param {number} width
 * @param {number} margin
 * @param {number} [low] fit factor at its beginning
 */
export function scale(top, width, margin, low = 1) {
  return onAxis({ low, high: top }, margin, width - margin);
}

/**
 * A place on a log axis; what lies beyond stands at its end.
 * @param {{low: number, high: number}} axis
 * @param {number} left
 * @param {number} right
 */
export function onAxis({ low, high }, left, right) {
  return (/** @type {number} */ value) => {
    const share = Math.log(Math.min(Math.max(value, low), high) / low) / Math.log(high / low);
    return tenth(left + share * (right - left));
  };
}

/** More digits would make a picture larger, not sharper. */
export function tenth(/** @type {number} */ value) {
  return Number(value.toFixed(1));
}
