// What "at least" readings tell of a difference: likelihoods of B − A on ln FF, as the builder has them.
import { logNormalBelow } from "./distributions.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./verdicts.js").Bound} Bound
 *
 * @typedef {{n: number, mean: number, limits: number[], moderated: number}} Readings
 *   One arm: exact readings with their mean ln FF, the limits of the others, the variance of one donning.
 *
 * @typedef {{a: Readings, b: Readings, shift: number, extra: number}} Limited
 *   One wearer's B − A with limits on a side or on both; `extra` is variance beyond donnings, and `shift` is added.
 *
 * @typedef {{estimate: number, variance: number, limited: Limited[]}} Joint
 *   A difference known by a normal part, of infinite variance where there is none, and by such with limits.
 */

/** How many readings there are. */
export function donningsOf(/** @type {Readings} */ { n, limits }) {
  return n + limits.length;
}

/** Mean of all readings, limits at their values. */
export function middleOf(/** @type {Readings} */ arm) {
  return (arm.n * arm.mean + arm.limits.reduce((sum, limit) => sum + limit, 0)) / donningsOf(arm);
}

/** Whether a difference is bounded on both sides ("none"), on one, or not at all ("both"). @returns {Bound} */
export function boundOf(/** @type {Joint} */ joint) {
  if (Number.isFinite(joint.variance)) return "none";
  const bounds = [...new Set(joint.limited.map(({ a, b }) => limitedBound(a, b)))];
  const [only = "both"] = bounds;
  return bounds.length > 1 ? "none" : only;
}

/** @returns {Bound} */
function limitedBound(/** @type {Readings} */ a, /** @type {Readings} */ b) {
  if (a.n && b.n) return "none";
  if (a.n) return "at_least";
  return b.n ? "at_most" : "both";
}

/** Beyond these the likelihood changes no more. @returns {[number, number]} */
export function endsOf(/** @type {Joint} */ { estimate, variance, limited }) {
  const ends = limited.map((one) => {
    return { middle: middleOfLimited(one), reach: 8 * Math.sqrt(one.a.moderated + one.b.moderated + one.extra) };
  });
  if (Number.isFinite(variance)) ends.push({ middle: estimate, reach: 8 * Math.sqrt(variance) });
  const [low, high] = [ends.map((end) => end.middle - end.reach), ends.map((end) => end.middle + end.reach)];
  return [Math.min(...low), Math.max(...high)];
}

/** Variance of the difference, were all readings exact. */
export function narrowestOf(/** @type {Joint} */ { variance, limited }) {
  return 1 / limited.reduce((sum, one) => sum + 1 / narrowestOfLimited(one), 1 / variance);
}

/** The difference with limits at their values, by precision. */
export function middleOfJoint(/** @type {Joint} */ { estimate, variance, limited }) {
  let [weight, sum] = [1 / variance, estimate / variance];
  for (const one of limited) {
    weight += 1 / narrowestOfLimited(one);
    sum += middleOfLimited(one) / narrowestOfLimited(one);
  }
  return sum / weight;
}

/** The same without the variance beyond donnings of its only part, and that variance. @returns {[Joint, number]} */
export function withoutExtra(/** @type {Joint} */ joint) {
  const [one, ...more] = joint.limited;
  if (!one || more.length || Number.isFinite(joint.variance)) return [joint, 0];
  return [{ ...joint, limited: [{ ...one, extra: 0 }] }, one.extra];
}

/**
 * Log likelihood of differences, up to a constant. Variance beyond donnings must have been taken off.
 * @param {Joint} joint
 * @param {number[]} differences
 */
export function logLikelihood({ estimate, variance, limited }, differences) {
  return differences.map((d) => {
    const exact = Number.isFinite(variance) ? (-0.5 * (d - estimate) ** 2) / variance : 0;
    return limited.reduce((sum, { a, b, shift }) => sum + ofDonnings(a, b, d - shift), exact);
  });
}

function middleOfLimited(/** @type {Limited} */ { a, b, shift }) {
  return middleOf(b) - middleOf(a) + shift;
}

function narrowestOfLimited(/** @type {Limited} */ { a, b, extra }) {
  return a.moderated / donningsOf(a) + b.moderated / donningsOf(b) + extra;
}

/** The level of A summed up around its likeliest value. */
function ofDonnings(/** @type {Readings} */ a, /** @type {Readings} */ b, /** @type {number} */ d) {
  const [ofA, ofB] = [a.n / a.moderated, b.n / b.moderated];
  const precision = ofA + ofB;
  let level = (ofA * a.mean + ofB * (b.mean - d)) / precision;
  for (let climbed = 0; climbed < 30; climbed += 1) {
    const [firstA, secondA] = slopes(a, level);
    const [firstB, secondB] = slopes(b, level + d);
    const step = (firstA + firstB) / (secondA + secondB);
    level -= step;
    if (Math.abs(step) < 1e-6) break;
  }
  const [nodes, end] = [LEVELS.limit_nodes, LEVELS.limit_nodes_end];
  const log = Array.from({ length: nodes }, (_, node) => {
    const at = level + (((2 * node) / (nodes - 1) - 1) * end) / Math.sqrt(precision);
    return logOfLevel(a, at) + logOfLevel(b, at + d);
  });
  const highest = Math.max(...log);
  return highest + Math.log(log.reduce((sum, one) => sum + Math.exp(one - highest), 0));
}

function logOfLevel(/** @type {Readings} */ { n, mean, limits, moderated }, /** @type {number} */ level) {
  const sd = Math.sqrt(moderated);
  const exact = n ? ((-0.5 * n) / moderated) * (level - mean) ** 2 : 0;
  return limits.reduce((sum, limit) => sum + logNormalBelow((level - limit) / sd), exact);
}

/** First and second derivative of the log likelihood of a level. @returns {[number, number]} */
function slopes(/** @type {Readings} */ { n, mean, limits, moderated }, /** @type {number} */ level) {
  const sd = Math.sqrt(moderated);
  let [first, second] = [(-n / moderated) * (level - mean), -n / moderated];
  for (const limit of limits) {
    const t = (level - limit) / sd;
    const slope = Math.exp(-0.5 * t * t - 0.5 * Math.log(2 * Math.PI) - logNormalBelow(t));
    first += slope / sd;
    second -= (slope * (slope + t)) / moderated;
  }
  return [first, second];
}
