// Two sensors at once, inside the mask and outside: their difference taken out, and phases as of one counter.
import { normalQuantile } from "../statistics/distributions.js";
import { LEVELS } from "../words/levels.js";
import { LOGS } from "../words/logs.js";
import { doubt, pointed } from "./log-messages.js";
import { general, rounded, toDecimals } from "./plain-numbers.js";
import { MASK, SAME_AIR, sum, SWAPPED } from "./sampled-air.js";

/** @typedef {import("./run-log.js").RunLog} RunLog */

/** Of the seconds of a phase. */
const DECIMALS = 6;

/** What the sensor inside reads for 1 of the one outside, in the same air; null where the log does not tell. */
function sensorRatio(/** @type {RunLog} */ log) {
  const same = sums(log, SAME_AIR);
  if (same.inside > 0 && same.outside > 0) return same.inside / same.outside;
  const [normal, swapped] = [sums(log, MASK), sums(log, SWAPPED)];
  if (Math.min(normal.inside, normal.outside, swapped.inside, swapped.outside) > 0) {
    return Math.sqrt(normal.inside / normal.outside / (swapped.outside / swapped.inside));
  }
  return null;
}

/**
 * Each stretch in the mask with the room air of the same seconds, half before it and half after.
 * @param {RunLog} log
 * @returns {import("./counting.js").SampledPhase[]}
 */
export function sensorPhases(log) {
  const ratio = sensorRatio(log) ?? 1;
  return inMask(log).flatMap((stretch) => pair(log, stretch, ratio));
}

/**
 * @param {RunLog} log
 * @param {import("./run-log.js").Stretch} stretch
 * @param {number} ratio what the sensor inside reads for 1 of the one outside
 * @returns {import("./counting.js").SampledPhase[]}
 */
function pair(log, stretch, ratio) {
  const seconds = toDecimals(stretch.seconds, DECIMALS);
  const swapped = stretch.kind === SWAPPED;
  const [inside, outside] = swapped ? [stretch.outside, stretch.amount] : [stretch.amount, stretch.outside];
  const longer = swapped ? ratio : 1 / ratio;
  const name = LOGS.exercises[stretch.exercise];
  const exercise = name ? { exercise: name } : {};
  if (log.counted) {
    const first = Math.floor(rounded(outside) / 2);
    const half = (seconds * longer) / 2;
    return [
      { phase: "ambient", seconds: half, particles: first },
      { phase: "mask", ...exercise, seconds, particles: rounded(inside) },
      { phase: "ambient", seconds: half, particles: rounded(outside) - first },
    ];
  }
  const concentration = outside / stretch.seconds / longer;
  return [
    { phase: "ambient", seconds: seconds / 2, concentration },
    { phase: "mask", ...exercise, seconds, concentration: inside / stretch.seconds },
    { phase: "ambient", seconds: seconds / 2, concentration },
  ];
}

/**
 * The limits widened by how surely the ratio of the sensors is known from what was counted for it.
 * @param {import("./counting.js").RunFitFactor} fit
 * @param {RunLog} log
 * @returns {import("./counting.js").RunFitFactor}
 */
export function withCalibration(fit, log) {
  const variance = ratioVariance(log);
  if (!variance) return fit;
  const used = inMask(log);
  const leaks = fit.exercises.map(({ counted, result }) => (result.atLeast || !counted ? 0 : 1 / result.fitFactor));
  const turned = leaks.map((leak, place) => (used[place]?.kind === SWAPPED ? -leak : leak));
  const share = leaks.some(Boolean) ? Math.abs(sum(turned)) / sum(leaks) : 1;
  const exercises = fit.exercises.map((one) => ({ ...one, result: widened(one.result, variance) }));
  return { ...fit, exercises, overall: widened(fit.overall, share ** 2 * variance) };
}

/** The variance of the logarithm of the ratio; 0 where the log does not tell it. */
function ratioVariance(/** @type {RunLog} */ log) {
  const counts = (/** @type {number} */ kind) => Object.values(sums(log, kind));
  const inverse = (/** @type {number[]} */ some) => sum(some.map((count) => 1 / count));
  const same = counts(SAME_AIR);
  if (Math.min(...same) > 0) return inverse(same);
  const halves = [...counts(MASK), ...counts(SWAPPED)];
  return Math.min(...halves) > 0 ? inverse(halves) / 4 : 0;
}

/**
 * @param {import("./counting.js").CountedFitFactor} found
 * @param {number} variance
 * @returns {import("./counting.js").CountedFitFactor}
 */
function widened({ fitFactor, low, high, atLeast }, variance) {
  const sd = Math.sqrt(variance);
  if (atLeast) {
    const limit = fitFactor * Math.exp(-normalQuantile(1 - LEVELS.beyond_shown) * sd);
    return { fitFactor: limit, low: limit, high, atLeast };
  }
  const far = (/** @type {number} */ limit) =>
    Math.hypot(Math.log(limit / fitFactor), normalQuantile(1 - LEVELS.beyond_shown / 2) * sd);
  return {
    fitFactor,
    low: low && fitFactor * Math.exp(-far(low)),
    high: high && fitFactor * Math.exp(far(high)),
    atLeast,
  };
}

/** What was made of the difference between the sensors. */
export function sensorDoubt(/** @type {RunLog} */ log) {
  const ratio = sensorRatio(log);
  if (ratio === null) return doubt("sensors_not_compared");
  return doubt(log.counted ? "sensors_compared" : "sensor_levels_compared", { ratio: pointed(general(ratio, 3)) });
}

/** The stretches in the mask, by whichever sensor, that are long enough to be written. */
function inMask(/** @type {RunLog} */ { stretches }) {
  return stretches.filter(({ kind, seconds }) => (kind === MASK || kind === SWAPPED) && toDecimals(seconds, DECIMALS) > 0);
}

/** What both sensors read in the stretches of a kind. */
function sums(/** @type {RunLog} */ { stretches }, /** @type {number} */ kind) {
  const some = stretches.filter((stretch) => stretch.kind === kind);
  return { inside: sum(some.map(({ amount }) => amount)), outside: sum(some.map(({ outside }) => outside)) };
}
