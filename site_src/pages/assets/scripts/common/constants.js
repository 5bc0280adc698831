// The levels and limits of the builder. They come with the data that a page fetches: no script has one of its own.

/** @type {Record<string, number>} */
let published = {};

/**
 * Takes the constants that a data file brings.
 * @param {Record<string, number> | undefined} constants undefined in a file of an older site
 */
export function takeConstants(constants) {
  if (!constants) throw new Error("These data do not bring the constants that figures are computed with.");
  published = constants;
}

/**
 * One of them. Throws where the data do not bring it: on another one figures would still look right.
 * @param {string} name as builder/site/shipped_constants.py has it
 */
export function constant(name) {
  const value = published[name];
  if (!Number.isFinite(value)) throw new Error(`These data do not bring the constant ${name}.`);
  return value;
}

/**
 * The level of an interval in words: "95 %".
 * @param {string} name
 */
export function levelText(name) {
  return `${Number((100 * constant(name)).toFixed(6))} %`;
}
