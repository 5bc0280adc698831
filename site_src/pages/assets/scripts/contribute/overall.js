// The overall fit factor that the builder will compute from exercises or counts (29 CFR 1910.134, Appendix A).
import { say } from "../common/say.js";
import { GRIMACE, mean, sum } from "../logs/sampled-air.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {{fitFactor: number, atLeast: boolean}} Overall
 *
 * @typedef {object} Stretch in order of time
 * @property {"ambient" | "mask"} phase
 * @property {string} [exercise]
 * @property {number} seconds
 * @property {number} [particles]
 * @property {number} [concentration] where there are no particles
 *
 * @typedef {object} Result as the file holds it
 * @property {string} [protocol]
 * @property {string} [set_aside]
 * @property {number} [fit_factor]
 * @property {boolean} [at_least]
 * @property {{name?: string, fit_factor?: number, at_least?: boolean}[]} [exercise]
 * @property {Stretch[]} [counts]
 *
 * @typedef {{seconds: number, rate: number}} Air
 * @typedef {{stretch: Stretch, near: number[], around: number}} Exposure a stretch in the mask with the places of the
 *   nearest ambient ones, before and after, and the mean of their rates
 */

/**
 * The overall fit factor of a result; null where there is none yet.
 * Throws an error, its message for readers, for counts that give none.
 * @param {Result} result
 * @returns {Overall | null}
 */
export function overallOf(result) {
  const exercises = (result.exercise ?? []).flatMap(({ name, fit_factor: fitFactor, at_least: atLeast = false }) =>
    fitFactor === undefined || name === GRIMACE ? [] : [{ fitFactor, atLeast }],
  );
  if (exercises.length) {
    return {
      fitFactor: 1 / mean(exercises.map((one) => 1 / one.fitFactor)),
      atLeast: exercises.some((one) => one.atLeast),
    };
  }
  if (result.counts) return fromCounts(result.counts);
  return result.fit_factor === undefined ? null : { fitFactor: result.fit_factor, atLeast: result.at_least ?? false };
}

/**
 * One over the mean leakage of the stretches in the mask without the grimace, each set against the air around it.
 * @param {Stretch[]} counts
 * @returns {Overall}
 */
function fromCounts(counts) {
  const air = counts
    .filter((one) => one.phase === "ambient")
    .map((one) => ({ seconds: one.seconds, rate: rateOf(one) }));
  if (!air.length) throw new Error(say("checker.no_ambient"));
  const exposures = exposuresOf(counts, air);
  const counted = exposures.filter(({ stretch }) => stretch.exercise !== GRIMACE);
  if (!counted.length) throw new Error(say("checker.no_mask"));
  if (exposures.some(({ around }) => around === 0)) throw new Error(say("checker.empty_ambient"));
  if (exposures.some(({ stretch }) => stretch.concentration === 0)) throw new Error(say("checker.empty_concentration"));
  const leak = mean(counted.map(({ stretch, around }) => rateOf(stretch) / around));
  const found = leak ? { fitFactor: 1 / leak, atLeast: false } : { fitFactor: limit(counted, air), atLeast: true };
  if (found.fitFactor < 1) {
    throw new Error(say("checker.below_one", { fit_factor: Number(found.fitFactor.toPrecision(2)) }));
  }
  return found;
}

/** @returns {Exposure[]} */
function exposuresOf(/** @type {Stretch[]} */ counts, /** @type {Air[]} */ air) {
  let seen = 0;
  return counts.flatMap((stretch) => {
    if (stretch.phase === "ambient") {
      seen += 1;
      return [];
    }
    const near = [seen - 1, seen].filter((place) => place >= 0 && place < air.length);
    return [{ stretch, near, around: mean(air.filter((_, place) => near.includes(place)).map(({ rate }) => rate)) }];
  });
}

/** The one-sided 95 % lower limit where no particle was counted in the mask, as builder/fit/poisson.py has it. */
function limit(/** @type {Exposure[]} */ counted, /** @type {Air[]} */ air) {
  const weighed = counted.map(({ stretch, near, around }) => ({ near, around, unmasked: around * stretch.seconds }));
  const all = sum(weighed.map(({ unmasked }) => unmasked));
  const variances = air.map(({ rate, seconds }, place) => {
    const pulling = weighed.filter(({ near }) => near.includes(place));
    const pull = sum(pulling.map(({ near, around, unmasked }) => unmasked / all / around / near.length));
    return (pull ** 2 * rate) / seconds;
  });
  const ambient = 1 / sum(variances);
  return all / ambient / Math.expm1(-Math.log(LEVELS.beyond_shown) / ambient);
}

function rateOf(/** @type {Stretch} */ { particles, concentration = NaN, seconds }) {
  return particles === undefined ? concentration : particles / seconds;
}
