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
  return (/** @type {number} */ fitFactor) =>
    tenth(margin + (Math.log(Math.max(fitFactor, low) / low) / Math.log(top / low)) * (width - 2 * margin));
}

/** More digits would make a picture larger, not sharper. */
export function tenth(/** @type {number} */ value) {
  return Number(value.toFixed(1));
}
