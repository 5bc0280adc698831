// Two sensors at once, inside the mask and outside: their difference taken out, and phases as of one counter.
import { LOGS } from "../words/logs.js";
import { doubt } from "./log-messages.js";
import { general, rounded, toDecimals } from "./plain-numbers.js";
import { MASK, SAME_AIR, sum, SWAPPED } from "./sampled-air.js";

/** @typedef {Omit<import("./run-log.js").RunLog, "byWeight">} RunLog */

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
  return log.stretches.flatMap((stretch) => pair(log, stretch, ratio));
}

/**
 * @param {RunLog} log
 * @param {import("./run-log.js").Stretch} stretch
 * @param {number} ratio what the sensor inside reads for 1 of the one outside
 * @returns {import("./counting.js").SampledPhase[]}
 */
function pair(log, stretch, ratio) {
  const seconds = toDecimals(stretch.seconds, 6);
  if ((stretch.kind !== MASK && stretch.kind !== SWAPPED) || seconds <= 0) return [];
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

/** What was made of the difference between the sensors. */
export function sensorDoubt(/** @type {RunLog} */ log) {
  const ratio = sensorRatio(log);
  return ratio === null ? doubt("sensors_not_compared") : doubt("sensors_compared", { ratio: general(ratio, 3) });
}

/** What both sensors read in the stretches of a kind. */
function sums(/** @type {RunLog} */ { stretches }, /** @type {number} */ kind) {
  const some = stretches.filter((stretch) => stretch.kind === kind);
  return { inside: sum(some.map(({ amount }) => amount)), outside: sum(some.map(({ outside }) => outside)) };
}
