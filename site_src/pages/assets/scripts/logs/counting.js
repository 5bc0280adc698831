// Fit factors from particle counts, with the uncertainty that counting alone leaves.
import { LEVELS } from "../words/levels.js";
import { LOGS } from "../words/logs.js";
import { logMessage } from "./log-messages.js";
import { equalRatesPValue, ratioLimits, zeroCountLimit } from "./poisson.js";
import { GRIMACE, mean, sum } from "./sampled-air.js";

/**
 * @typedef {object} SampledPhase one phase of a run, purge seconds dropped, as `[[result.counts]]` of an entry has it
 * @property {"ambient" | "mask"} phase
 * @property {string} [exercise]
 * @property {number} seconds
 * @property {number} [particles]
 * @property {number} [concentration] where there are no particles
 *
 * @typedef {object} CountedFitFactor
 * @property {number} fitFactor
 * @property {number | null} low 95 % counting interval; null where it is not known
 * @property {number | null} high null where it is not known or has no end
 * @property {boolean} atLeast no particle was counted in the mask: the fit factor is a lower limit
 *
 * @typedef {object} ExerciseFitFactor
 * @property {string} exercise
 * @property {boolean} counted whether it enters the overall fit factor
 * @property {CountedFitFactor} result
 * @property {boolean} ambientEnough
 *
 * @typedef {{ratio: number, warn: boolean, refuse: boolean}} Drift
 * @typedef {{exercises: ExerciseFitFactor[], overall: CountedFitFactor, drift: Drift | null}} RunFitFactor
 *
 * @typedef {{particles: number, seconds: number}} Segment
 * @typedef {{mask: Segment, near: number[]}} Exposure a stretch in the mask with the places of the ambient ones around it
 */

/** Counts that give no fit factor; the message says why. */
export class NoFitFactor extends Error {}

/**
 * The fit factors of a run whose phases are in order of time. Throws a NoFitFactor.
 * @param {SampledPhase[]} phases
 * @returns {RunFitFactor}
 */
export function runFitFactor(phases) {
  const air = phases.filter(({ phase }) => phase === "ambient").map(segment);
  const masks = phases.filter(({ phase }) => phase === "mask");
  const counted = masks.map(({ exercise = "" }) => exercise !== GRIMACE);
  if (!air.length) throw new NoFitFactor(logMessage("no_ambient"));
  if (!counted.includes(true)) throw new NoFitFactor(logMessage("no_mask"));
  const around = ambientsAround(phases, air.length);
  const exposures = masks.map((phase, place) => ({ mask: segment(phase), near: around[place] ?? [] }));
  const results = exposures.map((one) => combined([one], air));
  const enough = exposures.map(
    ({ mask, near }) => combined([{ mask: { particles: 0, seconds: mask.seconds }, near }], air).fitFactor >= LEVELS.pass_level,
  );
  const overall = combined(exposures.filter((_, place) => counted[place]), air);
  const isCounted = phases[0]?.particles !== undefined;
  const drifts = new Map(around.filter((near) => near.length === 2).map((near) => [near.join(), near]));
  const found = [...drifts.values()].map((near) => drift(air, near, isCounted));
  if (!isCounted && results.some(({ atLeast }) => atLeast)) throw new NoFitFactor(logMessage("empty_concentration"));
  const shown = (/** @type {CountedFitFactor} */ one) => (isCounted ? one : { ...one, low: null, high: null });
  return {
    exercises: results.map((result, place) => ({
      exercise: masks[place]?.exercise ?? "",
      counted: counted[place] ?? false,
      result: shown(result),
      ambientEnough: enough[place] ?? false,
    })),
    overall: shown(overall),
    drift: found.reduce(
      (largest, one) => (largest === null || factorOf(one.ratio) > factorOf(largest.ratio) ? one : largest),
      /** @type {Drift | null} */ (null),
    ),
  };
}

/** For each phase in the mask the places of the nearest ambient one before it and after it. */
function ambientsAround(/** @type {SampledPhase[]} */ phases, /** @type {number} */ total) {
  let seen = 0;
  return phases.flatMap(({ phase }) => {
    if (phase === "mask") return [[seen - 1, seen].filter((place) => place >= 0 && place < total)];
    seen += 1;
    return [];
  });
}

/**
 * One fit factor from the mean leakage of stretches in the mask, each against the room air around it.
 * @param {Exposure[]} exposures
 * @param {Segment[]} air
 * @returns {CountedFitFactor}
 */
function combined(exposures, air) {
  const weighed = exposures.map(({ mask, near }) => {
    const rate = mean(near.map((place) => rateOf(air[place])));
    return { near, rate, particles: mask.particles, unmasked: rate * mask.seconds };
  });
  if (weighed.some(({ rate }) => rate === 0)) throw new NoFitFactor(logMessage("empty_ambient"));
  const leaks = weighed.map(({ particles, unmasked }) => particles / unmasked);
  const leak = mean(leaks);
  const all = sum(weighed.map(({ unmasked }) => unmasked));
  // How much hangs on each exercise: its leakage, or while none leaked the time it had to do so.
  const weights = leak ? leaks : weighed.map(({ unmasked }) => unmasked);
  const pull = air.map(() => 0);
  for (const [place, { near, rate }] of weighed.entries()) {
    for (const one of near) pull[one] = (pull[one] ?? 0) + (weights[place] ?? 0) / sum(weights) / rate / near.length;
  }
  const ambient = 1 / sum(pull.map((one, place) => (one ** 2 * rateOf(air[place])) / (air[place]?.seconds ?? NaN)));
  if (!leak) {
    const limit = zeroCountLimit(all, ambient);
    return { fitFactor: limit, low: limit, high: null, atLeast: true };
  }
  const inMask =
    (leak * leaks.length) ** 2 / sum(weighed.map(({ unmasked }, place) => (leaks[place] ?? 0) / unmasked));
  const { low, high } = ratioLimits(ambient, inMask, inMask / ambient / leak);
  return { fitFactor: 1 / leak, low, high, atLeast: false };
}

/** How the ambient level changed from one stretch to another. */
function drift(
  /** @type {Segment[]} */ air,
  /** @type {number[]} */ [first = -1, second = -1],
  /** @type {boolean} */ isCounted,
) {
  const [before, after] = [air[first], air[second]];
  if (!before || !after) throw new RangeError("There is no such room air.");
  const { drift_warning: warning, drift_refusal: refusal, drift_chance: chance } = LOGS.limits;
  const ratio = before.particles ? rateOf(after) / rateOf(before) : Infinity;
  const share = after.seconds / (before.seconds + after.seconds);
  const factor = factorOf(ratio);
  const warn = factor > warning && !(isCounted && equalRatesPValue(after.particles, before.particles, share) >= chance);
  return { ratio, warn, refuse: factor > refusal };
}

function factorOf(/** @type {number} */ ratio) {
  return ratio ? Math.max(ratio, 1 / ratio) : Infinity;
}

function rateOf(/** @type {Segment | undefined} */ one) {
  return one ? one.particles / one.seconds : NaN;
}

/** A phase as a segment. A concentration stands for as many particles: only ratios of them are used. */
function segment(/** @type {SampledPhase} */ { particles, concentration = 0, seconds }) {
  return { particles: particles ?? concentration * seconds, seconds };
}
