// Medians and shares over some wearers: the builder's summaries (fit/summary) of the tests that a file was published of.
import { normalQuantile } from "./distributions.js";
import { at } from "./small-matrices.js";
import { LEVELS } from "../words/levels.js";

/** A curve that should be exactly one half misses it by rounding. */
const ROUNDING = 1e-9;

/**
 * @typedef {{value: number, atLeast: boolean}} Reading also a median, of which then only a lower limit is known
 */

/**
 * The Kaplan–Meier median of readings of which some are "at least" their value; the ordinary one where none is.
 * @param {Reading[]} readings one or more
 * @returns {Reading}
 */
export function median(readings) {
  const values = readings.filter(({ atLeast }) => !atLeast).map(({ value }) => value);
  const times = [...new Set(values)].sort((a, b) => a - b);
  let survival = 1;
  for (const [number, time] of times.entries()) {
    const risk = readings.filter(({ value }) => value >= time).length;
    survival *= 1 - values.filter((value) => value === time).length / risk;
    if (survival > 0.5 + ROUNDING) continue;
    if (survival < 0.5 - ROUNDING) return { value: time, atLeast: false };
    if (number + 1 === times.length) return { value: time, atLeast: true };
    return { value: (time + at(times, number + 1)) / 2, atLeast: false };
  }
  return { value: Math.max(...readings.map(({ value }) => value)), atLeast: true };
}

/**
 * Wilson's score interval of a share (J. Am. Stat. Assoc. 1927;22:209–212).
 * @param {number} successes
 * @param {number} n
 */
export function wilson(successes, n) {
  const z = normalQuantile((1 + LEVELS.shown_level) / 2);
  const share = successes / n;
  const centre = (share + z ** 2 / (2 * n)) / (1 + z ** 2 / n);
  const half = (z / (1 + z ** 2 / n)) * Math.sqrt((share * (1 - share)) / n + z ** 2 / (4 * n ** 2));
  return { low: successes === 0 ? 0 : centre - half, high: successes === n ? 1 : centre + half };
}

/**
 * The summary of one configuration over some wearers, from the readings of each. A geometric mean of which some are
 * "at least" is left out: it goes by likelihood.
 * @param {number[][]} wearers readings of one wearer each, "at least" ones below 0; one or more of each
 * @returns {Published.Figures}
 */
export function summaryOf(wearers) {
  const own = wearers.map((readings) => readings.map((signed) => ({ value: Math.abs(signed), atLeast: signed < 0 })));
  const all = own.flat();
  const values = all.map(({ value }) => value);
  const [middle, medians] = [median(all), own.map(median)];
  const ofWearers = median(medians);
  const passing = medians.filter(({ value }) => value >= LEVELS.pass_level).length;
  const known = medians.filter(({ value, atLeast }) => !atLeast || value >= LEVELS.pass_level).length;
  const interval = known ? wilson(passing, known) : null;
  const highest = Math.max(...values);
  const exact = all.every(({ atLeast }) => !atLeast);
  return {
    tests: all.length,
    wearers: wearers.length,
    set_aside: 0,
    median_fit_factor: middle.value,
    median_at_least: middle.atLeast,
    lowest_fit_factor: Math.min(...values),
    highest_fit_factor: highest,
    highest_at_least: all.some(({ value, atLeast }) => atLeast && value === highest),
    geometric_mean: exact ? Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length) : null,
    geometric_mean_at_least: false,
    til_percent: 100 / middle.value,
    wearer_median_fit_factor: ofWearers.value,
    wearer_median_at_least: ofWearers.atLeast,
    share_at_100: known ? passing / known : null,
    share_at_100_low: interval && interval.low,
    share_at_100_high: interval && interval.high,
    share_wearers: known,
  };
}
