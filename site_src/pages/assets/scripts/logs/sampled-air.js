// What a counter breathes during a run, and what two sensors at once breathe, numbered as the builder does.
export const [AMBIENT, MASK, PURGE, SAME_AIR, SWAPPED] = /** @type {const} */ ([0, 1, 2, 3, 4]);

/** The first kinds are what one counter breathes; the others are of two sensors. */
export const OF_ONE = 3;

/** The exercise that enters no overall fit factor (29 CFR 1910.134, Appendix A). */
export const GRIMACE = "grimace";

/** A number that is there. */
export function at(/** @type {ArrayLike<number>} */ numbers, /** @type {number} */ place) {
  const value = numbers[place];
  if (value === undefined) throw new RangeError(`There is no number at ${place}.`);
  return value;
}

/** The sum of some numbers. */
export function sum(/** @type {number[]} */ numbers) {
  return numbers.reduce((total, one) => total + one, 0);
}

/** The mean of some numbers. */
export function mean(/** @type {number[]} */ numbers) {
  return sum(numbers) / numbers.length;
}

/** The middle one of some numbers, or the mean of the two in the middle. */
export function median(/** @type {number[]} */ numbers) {
  const sorted = [...numbers].sort((one, other) => one - other);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? at(sorted, middle) : (at(sorted, middle - 1) + at(sorted, middle)) / 2;
}
