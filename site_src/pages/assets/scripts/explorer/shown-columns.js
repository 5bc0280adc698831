// Which columns of figures the explorer shows ↔ how its address says so. Mask and change are always there.

/** Every column that can be shown, in the order of the table. */
export const COLUMNS = ["median", "lowest", "share", "wearers", "effect", "wearer_median", "geometric_mean", "leakage", "tests"];

/** Those that are shown at first. */
const FIRST = ["median", "lowest", "share", "wearers", "effect"];

/**
 * The columns that an address asks for, "" for those of the beginning.
 * @param {string} written
 */
export function columnsFrom(written) {
  return written ? written.split(".") : FIRST;
}

/**
 * How an address writes columns. Nothing chosen is the beginning.
 * @param {string[]} chosen
 */
export function writtenColumns(chosen) {
  const columns = COLUMNS.filter((column) => chosen.includes(column));
  return columns.join() === FIRST.join() ? "" : columns.join(".");
}

/** What addresses can ask for: known columns, in any order. */
export const ALLOWED_COLUMNS = { has: (/** @type {string} */ written) => written.split(".").every((one) => COLUMNS.includes(one)) };
