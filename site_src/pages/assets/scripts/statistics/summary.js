// The figures of a configuration over a choice of its tests: the same as the builder's summary of those tests.
import { median } from "./median.js";

/** The fit factor a half mask must reach: 29 CFR 1910.134(f)(7). */
export const PASS_LEVEL = 100;

// The 97.5 % quantile of the standard normal distribution.
const Z = 1.959963984540054;

/**
 * @typedef {{value: number, atLeast: boolean, wearer: number, counted: boolean}} Test
 *
 * @typedef {object} Figures Null where no test counts.
 * @property {number} tests
 * @property {number} wearers
 * @property {number} set_aside
 * @property {number | null} median_fit_factor
 * @property {boolean} median_at_least
 * @property {number | null} lowest_fit_factor
 * @property {number | null} highest_fit_factor
 * @property {boolean} highest_at_least
 * @property {number | null} geometric_mean
 * @property {number | null} til_percent
 * @property {number | null} wearer_median_fit_factor
 * @property {boolean} wearer_median_at_least
 * @property {number | null} share_at_100
 * @property {number | null} share_at_100_low
 * @property {number | null} share_at_100_high
 * @property {number} share_wearers
 */

/**
 * Summarises the tests of one configuration, of which at least one counts.
 * @param {Test[]} all
 * @returns {Figures}
 */
export function summarise(all) {
  const tests = all.filter((test) => test.counted);
  const values = tests.map((test) => test.value);
  const overall = median(tests);
  const highest = Math.max(...values);
  // One keen wearer with twenty donnings is still one face: medians by wearer, then over wearers.
  const own = [...groupBy(tests, (test) => test.wearer).values()].map(median);
  const acrossWearers = median(own);
  const passing = own.filter((reading) => reading.value >= PASS_LEVEL).length;
  // "At least 60" may be a pass or not.
  const known = own.filter((reading) => reading.value >= PASS_LEVEL || !reading.atLeast).length;
  const interval = known ? wilson(passing, known) : { low: null, high: null };
  return {
    tests: tests.length,
    wearers: own.length,
    set_aside: all.length - tests.length,
    median_fit_factor: overall.value,
    median_at_least: overall.atLeast,
    lowest_fit_factor: Math.min(...values),
    highest_fit_factor: highest,
    highest_at_least: tests.some((test) => test.atLeast && test.value === highest),
    geometric_mean: Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length),
    til_percent: 100 / overall.value,
    wearer_median_fit_factor: acrossWearers.value,
    wearer_median_at_least: acrossWearers.atLeast,
    share_at_100: known ? passing / known : null,
    share_at_100_low: interval.low,
    share_at_100_high: interval.high,
    share_wearers: known,
  };
}

/**
 * Wilson's 95 % score interval of a share: J. Am. Stat. Assoc. 1927;22:209–212.
 * @param {number} successes
 * @param {number} n
 */
export function wilson(successes, n) {
  const share = successes / n;
  const centre = (share + Z ** 2 / (2 * n)) / (1 + Z ** 2 / n);
  const halfWidth = (Z / (1 + Z ** 2 / n)) * Math.sqrt((share * (1 - share)) / n + Z ** 2 / (4 * n ** 2));
  return { low: successes === 0 ? 0 : centre - halfWidth, high: successes === n ? 1 : centre + halfWidth };
}

/**
 * Map.groupBy, which browsers before 2024 lack.
 * @template T, K
 * @param {T[]} items
 * @param {(item: T) => K} key
 * @returns {Map<K, T[]>}
 */
export function groupBy(items, key) {
  const groups = new Map();
  for (const item of items) {
    const group = groups.get(key(item));
    if (group) group.push(item);
    else groups.set(key(item), [item]);
  }
  return groups;
}
