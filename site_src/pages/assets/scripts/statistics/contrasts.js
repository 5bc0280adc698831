// Two configurations against each other, on one wearer and over all wearers: step for step what the builder computes.
import { noncentralBelow, normalQuantile, studentBelow, studentQuantile } from "./distributions.js";
import { above, intervalOf, meanOf, pool } from "./pooling.js";
import { judge, UNKNOWN } from "./verdicts.js";

/** The ratio that the donnings still needed would tell, at 90 % with a power of 80 %. */
const DOUBLING = 2;
const CONFIDENCE = 0.9;
const WANTED = 0.8;
const MOST_DONNINGS = 200;

/** Planning SD of one configuration's mean ln FF between wearers, and its degrees of freedom. */
const FACE_SD = 0.96;
const FACE_DF = 4;

/**
 * @typedef {import("./verdicts.js").Judgement} Judgement
 * @typedef {import("./verdicts.js").Bound} Bound
 *
 * @typedef {{n: number, mean: number, variance: number, df: number, any_at_least: boolean}} Arm
 *   The tests of one configuration on one wearer: mean and variance of ln FF.
 * @typedef {Arm & {wearer: string, facial_hair: string}} WornArm
 *
 * @typedef {{prior_variance: number, prior_df: number | null, total_df: number, planned: boolean}} Scatter
 *   Re-donning scatter on ln FF; `prior_df` is null where it is infinite.
 *
 * @typedef {Judgement & {wearer: string, facial_hair: string, n_a: number, n_b: number,
 *   estimate: number, variance: number, df: number, gsd: number}} Contrast
 *
 * @typedef {Judgement & {wearers: Contrast[], pooled: number, only_a: number, only_b: number, same_wearers: boolean,
 *   n_a: number, n_b: number, predict_low95: number | null, predict_high95: number | null, tau: number | null}} Comparison
 */

/**
 * Two arms of one wearer. One side with an "at least" reading: the ratio is a limit. Both: cannot tell.
 * @param {Arm} a
 * @param {Arm} b
 * @param {Scatter} scatter
 * @returns {Omit<Contrast, "wearer" | "facial_hair">}
 */
export function contrast(a, b, scatter) {
  const ownDf = a.df + b.df;
  const own = (a.df * a.variance + b.df * b.variance) / Math.max(ownDf, 1);
  const moderated = moderate(own, ownDf, scatter);
  const estimate = b.mean - a.mean;
  const variance = moderated.variance * (1 / a.n + 1 / b.n);
  const { df } = moderated;
  const se = Math.sqrt(variance);
  const interval = (/** @type {number} */ level) => {
    const half = studentQuantile((1 + level) / 2, df) * se;
    return { low: estimate - half, high: estimate + half };
  };
  const bound = boundOf(a.any_at_least, b.any_at_least);
  const judgement = judge(estimate, interval, 2 * studentBelow(-Math.abs(estimate) / se, df), bound);
  const gsd = Math.exp(Math.sqrt(moderated.variance));
  if (bound === "none" && judgement.verdict === "cannot-tell") {
    judgement.donnings_needed = moreDonnings(gsd, a.n, b.n, df);
  }
  return { ...judgement, n_a: a.n, n_b: b.n, estimate, variance, df, gsd };
}

/**
 * The arms of configurations A and B on all wearers. At least one arm each.
 * @param {WornArm[]} armsA
 * @param {WornArm[]} armsB
 * @param {Scatter} scatter
 * @returns {Comparison}
 */
export function compareArms(armsA, armsB, scatter) {
  const wearers = pairs(armsA, armsB).map(([a, b]) => ({
    ...contrast(a, b, scatter),
    wearer: a.wearer,
    facial_hair: a.facial_hair,
  }));
  const { judgement, pooled, restsOn } = wearers.length
    ? overWearers(wearers)
    : { judgement: acrossFaces(armsA, armsB, scatter), pooled: null, restsOn: [] };
  const predicted = pooled && intervalOf(pooled.fresh, 0.95);
  const total = (/** @type {number[]} */ counts) => counts.reduce((sum, n) => sum + n, 0);
  return {
    ...judgement,
    wearers,
    pooled: restsOn.length,
    only_a: others(armsA, wearers),
    only_b: others(armsB, wearers),
    same_wearers: wearers.length > 0,
    n_a: total(wearers.length ? restsOn.map((c) => c.n_a) : armsA.map((arm) => arm.n)),
    n_b: total(wearers.length ? restsOn.map((c) => c.n_b) : armsB.map((arm) => arm.n)),
    predict_low95: predicted && judgement.bound !== "at_most" ? Math.exp(predicted.low) : null,
    predict_high95: predicted && judgement.bound !== "at_least" ? Math.exp(predicted.high) : null,
    tau: pooled && pooled.tau,
  };
}

/**
 * A variance shrunk towards that of the database (Smyth 2004), with its degrees of freedom.
 * @param {number} own
 * @param {number} df
 * @param {Scatter} scatter
 */
export function moderate(own, df, scatter) {
  const most = scatter.planned ? Infinity : scatter.total_df + df;
  if (scatter.prior_df === null) return { variance: scatter.prior_variance, df: most };
  const total = scatter.prior_df + df;
  return { variance: (scatter.prior_df * scatter.prior_variance + df * own) / total, df: Math.min(total, most) };
}

/**
 * Fewest donnings to add to each side, beyond those at hand, that tell a doubling.
 * @param {number} gsd
 * @param {number} nA
 * @param {number} nB
 * @param {number} df
 */
export function moreDonnings(gsd, nA, nB, df) {
  const effect = Math.log(DOUBLING) / Math.log(gsd);
  const enough = (/** @type {number} */ more) => {
    const nowDf = df + 2 * more;
    const shift = effect / Math.sqrt(1 / (nA + more) + 1 / (nB + more));
    return 1 - noncentralBelow(studentQuantile((1 + CONFIDENCE) / 2, nowDf), nowDf, shift) >= WANTED;
  };
  // The normal approximation is a little too small: start there and walk to the exact number.
  const z = zNeeded() / effect;
  let more = Math.max(0, Math.ceil(2 * z * z - (nA + nB) / 2));
  while (more > 0 && enough(more - 1)) more -= 1;
  while (!enough(more)) more += 1;
  return more;
}

/**
 * What several wearers say together. Limits all in one direction are pooled at their values; in both directions, or
 * on both sides of every wearer, they say nothing.
 * @param {Contrast[]} wearers
 */
function overWearers(wearers) {
  const restsOn = wearers.filter((c) => c.bound !== "both");
  const limits = new Set(restsOn.map((c) => c.bound).filter((bound) => bound !== "none"));
  if (restsOn.length === 0 || limits.size === 2) return { judgement: UNKNOWN, pooled: null, restsOn: [] };
  if (restsOn.length === 1) return { judgement: judgementOf(restsOn[0]), pooled: null, restsOn };
  const pooled = pool(restsOn);
  const higher = above(pooled.mean, 0);
  const [bound = "none"] = limits;
  const interval = (/** @type {number} */ level) => intervalOf(pooled.mean, level);
  const judgement = judge(meanOf(pooled.mean), interval, 2 * Math.min(higher, 1 - higher), bound);
  if (bound === "none" && judgement.verdict === "cannot-tell") {
    judgement.donnings_needed = moreDonningsEach(restsOn, pooled.tau);
  }
  return { judgement, pooled, restsOn };
}

/** Donnings each wearer must add to each side; null where the spread between wearers is in the way. */
function moreDonningsEach(/** @type {Contrast[]} */ contrasts, /** @type {number} */ tau) {
  const wanted = (zNeeded() / Math.log(DOUBLING)) ** 2;
  for (let more = 0; more <= MOST_DONNINGS; more += 1) {
    const precision = contrasts.reduce((sum, { gsd, n_a: nA, n_b: nB }) => {
      const variance = Math.log(gsd) ** 2 * (1 / (nA + more) + 1 / (nB + more)) + tau ** 2;
      return sum + 1 / variance;
    }, 0);
    if (precision >= wanted) return more;
  }
  return null;
}

/** Wearers' means of A against those of other wearers of B, on the scatter between faces. */
function acrossFaces(/** @type {WornArm[]} */ armsA, /** @type {WornArm[]} */ armsB, /** @type {Scatter} */ scatter) {
  const variance = FACE_SD ** 2 + scatter.prior_variance;
  const faces = { prior_variance: variance, prior_df: FACE_DF, total_df: 0, planned: true };
  const judgement = judgementOf(contrast(overFaces(armsA), overFaces(armsB), faces));
  if (judgement.verdict === "clear") return judgement;
  return { ...judgement, verdict: "cannot-tell", direction: "none", donnings_needed: null };
}

/** The arm whose donnings are wearers. @returns {Arm} */
function overFaces(/** @type {WornArm[]} */ arms) {
  const n = arms.length;
  const mean = arms.reduce((sum, arm) => sum + arm.mean, 0) / n;
  const limited = arms.some((arm) => arm.any_at_least);
  const df = limited ? 0 : n - 1;
  const variance = df ? arms.reduce((sum, arm) => sum + (arm.mean - mean) ** 2, 0) / df : 0;
  return { n, mean, variance, df, any_at_least: limited };
}

/** The pairs of arms of one wearer with the same facial hair, in the order of wearers. @returns {[WornArm, WornArm][]} */
function pairs(/** @type {WornArm[]} */ armsA, /** @type {WornArm[]} */ armsB) {
  const key = (/** @type {WornArm} */ arm) => JSON.stringify([arm.wearer, arm.facial_hair]);
  const inB = new Map(armsB.map((arm) => [key(arm), arm]));
  return armsA.filter((arm) => inB.has(key(arm))).map((arm) => [arm, inB.get(key(arm))]);
}

/** How many wearers are in no pair. */
function others(/** @type {WornArm[]} */ arms, /** @type {Contrast[]} */ wearers) {
  const both = new Set(wearers.map((c) => c.wearer));
  return new Set(arms.map((arm) => arm.wearer).filter((wearer) => !both.has(wearer))).size;
}

/** @returns {Judgement} */
function judgementOf(/** @type {Judgement} */ judged) {
  return Object.fromEntries(Object.keys(UNKNOWN).map((name) => [name, judged[name]]));
}

/** @returns {Bound} */
function boundOf(/** @type {boolean} */ a, /** @type {boolean} */ b) {
  if (a && b) return "both";
  if (b) return "at_least";
  return a ? "at_most" : "none";
}

function zNeeded() {
  return normalQuantile((1 + CONFIDENCE) / 2) + normalQuantile(WANTED);
}
