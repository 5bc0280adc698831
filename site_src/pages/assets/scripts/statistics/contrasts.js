// Two configurations against each other, on one wearer and over all wearers: step for step what the builder computes.
import { noncentralBelow, normalQuantile, studentBelow, studentQuantile } from "./distributions.js";
import { above, intervalOf, meanOf, pool } from "./pooling.js";
import { judge, UNKNOWN } from "./verdicts.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./verdicts.js").Judgement} Judgement
 * @typedef {import("./verdicts.js").Bound} Bound
 *
 * @typedef {{n: number, mean: number, moderated: number, df: number, wearer_df: number, any_at_least: boolean}} Arm
 *   The tests of one configuration on one wearer: mean ln FF, moderated variance of one donning, degrees of freedom.
 * @typedef {Arm & {wearer: string, facial_hair: string}} WornArm
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
 * @param {Published.Scatter} scatter
 * @returns {Omit<Contrast, "wearer" | "facial_hair">}
 */
function contrast(a, b, scatter) {
  const estimate = b.mean - a.mean;
  const variance = a.moderated / a.n + b.moderated / b.n;
  const df = degrees(a, b, variance, scatter);
  const bound = boundOf(a.any_at_least, b.any_at_least);
  const judgement = judgeStudent(estimate, variance, df, bound);
  const gsd = Math.exp(Math.sqrt(variance / (1 / a.n + 1 / b.n)));
  if (bound === "none" && judgement.verdict === "cannot-tell") {
    judgement.donnings_needed = moreDonnings(Math.log(LEVELS.doubling), gsd, a.n, b.n, df);
    judgement.donnings_for_seen = estimate === 0 ? null : moreDonnings(Math.abs(estimate), gsd, a.n, b.n, df);
  }
  return { ...judgement, n_a: a.n, n_b: b.n, estimate, variance, df, gsd };
}

/**
 * The arms of configurations A and B on all wearers. At least one arm each.
 * @param {WornArm[]} armsA
 * @param {WornArm[]} armsB
 * @param {Published.Scatter} scatter
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
    : { judgement: acrossFaces(armsA, armsB, scatter), pooled: null, restsOn: /** @type {Contrast[]} */ ([]) };
  const predicted = pooled && intervalOf(pooled.fresh, LEVELS.shown_level);
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
 * Judges a difference of ln FF by Student's t.
 * @param {number} estimate
 * @param {number} variance
 * @param {number} df
 * @param {Bound} bound
 */
function judgeStudent(estimate, variance, df, bound) {
  const se = Math.sqrt(variance);
  const interval = (/** @type {number} */ level) => {
    const half = studentQuantile((1 + level) / 2, df) * se;
    return { low: estimate - half, high: estimate + half };
  };
  return judge(estimate, interval, 2 * studentBelow(-Math.abs(estimate) / se, df), bound);
}

/**
 * Degrees of freedom of the difference of two arms: what is not known of the arms beyond their wearer, and what is not
 * known of the wearer, which both share.
 * @param {Arm} a
 * @param {Arm} b
 * @param {number} variance of the difference
 * @param {Published.Scatter} scatter
 */
function degrees(a, b, variance, { arm_df: armDf }) {
  let [own, kept] = [0, 0];
  for (const arm of [a, b]) {
    const share = arm.moderated / arm.n / variance;
    own += share ** 2 / (armDf + arm.df);
    kept += share / (1 + arm.df / armDf);
  }
  return 1 / (own + kept ** 2 / a.wearer_df);
}

/**
 * Fewest donnings to add to each side, beyond those at hand, that tell a difference.
 * @param {number} difference of ln FF, over 0
 * @param {number} gsd
 * @param {number} nA
 * @param {number} nB
 * @param {number} df
 */
function moreDonnings(difference, gsd, nA, nB, df) {
  const effect = difference / Math.log(gsd);
  const enough = (/** @type {number} */ more) => {
    const nowDf = df + 2 * more;
    const shift = effect / Math.sqrt(1 / (nA + more) + 1 / (nB + more));
    return 1 - noncentralBelow(studentQuantile((1 + LEVELS.likely_level) / 2, nowDf), nowDf, shift) >= LEVELS.wanted_power;
  };
  // The normal approximation is a little too small: start there and walk to the exact number.
  const z = zNeeded() / effect;
  const most = LEVELS.most_added_donnings;
  let more = Math.max(0, Math.ceil(2 * z * z - (nA + nB) / 2));
  if (!(more <= most)) return null;
  while (more > 0 && enough(more - 1)) more -= 1;
  while (more <= most && !enough(more)) more += 1;
  return more <= most ? more : null;
}

/**
 * What several wearers say together. Limits all in one direction are pooled at their values; in both directions, or
 * on both sides of every wearer, they say nothing.
 * @param {Contrast[]} wearers
 * @returns {{judgement: Judgement, pooled: import("./pooling.js").Pooled | null, restsOn: Contrast[]}}
 */
function overWearers(wearers) {
  const restsOn = wearers.filter((c) => c.bound !== "both");
  const limits = new Set(restsOn.map((c) => c.bound).filter((bound) => bound !== "none"));
  if (restsOn.length === 0 || limits.size === 2) return { judgement: UNKNOWN, pooled: null, restsOn: [] };
  const [only, ...more] = restsOn;
  if (only && more.length === 0) return { judgement: judgementOf(only), pooled: null, restsOn };
  const pooled = pool(restsOn);
  const higher = above(pooled.mean, 0);
  const [bound = "none"] = limits;
  const interval = (/** @type {number} */ level) => intervalOf(pooled.mean, level);
  const judgement = judge(meanOf(pooled.mean), interval, 2 * Math.min(higher, 1 - higher), bound);
  if (bound === "none" && judgement.verdict === "cannot-tell") {
    judgement.donnings_needed = moreDonningsEach(restsOn, pooled.tau, Math.log(LEVELS.doubling));
    judgement.donnings_for_seen = moreDonningsEach(restsOn, pooled.tau, Math.abs(meanOf(pooled.mean)));
  }
  return { judgement, pooled, restsOn };
}

/** Donnings each wearer must add to each side; null where the spread between wearers is in the way. */
function moreDonningsEach(
  /** @type {Contrast[]} */ contrasts,
  /** @type {number} */ tau,
  /** @type {number} */ difference,
) {
  for (let more = 0; more <= LEVELS.most_added_donnings; more += 1) {
    const precision = contrasts.reduce((sum, { gsd, n_a: nA, n_b: nB }) => {
      const variance = Math.log(gsd) ** 2 * (1 / (nA + more) + 1 / (nB + more)) + tau ** 2;
      return sum + 1 / variance;
    }, 0);
    if (Math.sqrt(precision) * difference >= zNeeded()) return more;
  }
  return null;
}

/**
 * Wearers' means of A against those of other wearers of B, on the scatter between faces.
 * @param {WornArm[]} armsA
 * @param {WornArm[]} armsB
 * @param {Published.Scatter} scatter
 * @returns {Judgement}
 */
function acrossFaces(armsA, armsB, scatter) {
  const [a, b] = [overFaces(armsA), overFaces(armsB)];
  const df = LEVELS.face_df + a.df + b.df;
  const planned = LEVELS.face_df * (LEVELS.face_sd ** 2 + scatter.variance);
  const variance = ((planned + a.squares + b.squares) / df) * (1 / armsA.length + 1 / armsB.length);
  const judgement = judgeStudent(b.mean - a.mean, variance, df, boundOf(a.limited, b.limited));
  if (judgement.verdict === "clear") return judgement;
  return { ...judgement, verdict: "cannot-tell", direction: "none" };
}

/** Mean of the wearers, and the sum of squares about it with its degrees of freedom; none with a limit among them. */
function overFaces(/** @type {WornArm[]} */ arms) {
  const n = arms.length;
  const mean = arms.reduce((sum, arm) => sum + arm.mean, 0) / n;
  const limited = arms.some((arm) => arm.any_at_least);
  const squares = limited ? 0 : arms.reduce((sum, arm) => sum + (arm.mean - mean) ** 2, 0);
  return { mean, limited, squares, df: limited ? 0 : n - 1 };
}

/** The pairs of arms of one wearer with the same facial hair, in the order of wearers. @returns {[WornArm, WornArm][]} */
function pairs(/** @type {WornArm[]} */ armsA, /** @type {WornArm[]} */ armsB) {
  const key = (/** @type {WornArm} */ arm) => JSON.stringify([arm.wearer, arm.facial_hair]);
  const inB = new Map(armsB.map((arm) => [key(arm), arm]));
  return armsA.flatMap((arm) => {
    const other = inB.get(key(arm));
    return other ? [/** @type {[WornArm, WornArm]} */ ([arm, other])] : [];
  });
}

/** How many wearers are in no pair. */
function others(/** @type {WornArm[]} */ arms, /** @type {Contrast[]} */ wearers) {
  const both = new Set(wearers.map((c) => c.wearer));
  return new Set(arms.map((arm) => arm.wearer).filter((wearer) => !both.has(wearer))).size;
}

/** Leaves out what a contrast holds beside its judgement. @returns {Judgement} */
function judgementOf(/** @type {Judgement} */ judged) {
  const { ratio, low90, high90, low99, high99, bound, p_value, verdict, direction } = judged;
  const { donnings_needed, donnings_for_seen } = judged;
  return {
    ...{ ratio, low90, high90, low99, high99, bound, p_value, verdict, direction },
    ...{ donnings_needed, donnings_for_seen },
  };
}

/** @returns {Bound} */
function boundOf(/** @type {boolean} */ a, /** @type {boolean} */ b) {
  if (a && b) return "both";
  if (b) return "at_least";
  return a ? "at_most" : "none";
}

function zNeeded() {
  return normalQuantile((1 + LEVELS.likely_level) / 2) + normalQuantile(LEVELS.wanted_power);
}
