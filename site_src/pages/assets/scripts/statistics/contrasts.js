// Two configurations against each other, on one wearer and over all wearers: step for step what the builder computes.
import { noncentralBelow, normalQuantile, studentBelow, studentQuantile } from "./distributions.js";
import { alike, between, likeWithLike, name, squares, varianceOf } from "./like-with-like.js";
import {
  boundOf, donningsOf, endsOf, logLikelihood, middleOf, middleOfJoint, narrowestOf, withoutExtra,
} from "./limits.js";
import { above, intervalOf, meanOf } from "./mixture.js";
import { pool } from "./pooling.js";
import { judge, UNKNOWN } from "./verdicts.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./verdicts.js").Judgement} Judgement
 * @typedef {import("./verdicts.js").Bound} Bound
 * @typedef {import("./limits.js").Joint} Joint
 * @typedef {import("./like-with-like.js").Arm} Arm
 * @typedef {import("./like-with-like.js").Adjustment} Adjustment
 * @typedef {import("./like-with-like.js").Likened} Likened
 * @typedef {Published.Basis} Basis
 * @typedef {Published.Method} Method
 * @typedef {Arm & {wearer: string, facial_hair: string}} WornArm
 * @typedef {{wearer: string, facial_hair: string, arms: Arm[]}} Worn the arms of one face, a method each
 *
 * @typedef {Judgement & {wearer: string, facial_hair: string, n_a: number, n_b: number, method: "same" | "mixed",
 *   estimate: number, variance: number, df: number, gsd: number}} Contrast
 *
 * @typedef {{contrast: Contrast, limited: Joint | null, shared: number[], likened: Likened | null}} Told
 *   What one wearer tells: `shared` are errors that contrasts between methods have in common.
 *
 * @typedef {{factor: number, low90: number, high90: number}} Taken what was taken out between methods
 *
 * @typedef {Judgement & {wearers: Contrast[], pooled: number, only_a: number, only_b: number, same_wearers: boolean,
 *   n_a: number, n_b: number, predict_low95: number | null, predict_high95: number | null, tau: number | null,
 *   wearers_same_method: number, wearers_mixed_method: number, method_adjustment: Taken | null}} Comparison
 */

/**
 * The arms of configurations A and B on all wearers. At least one arm each.
 * @param {WornArm[]} armsA
 * @param {WornArm[]} armsB
 * @param {Basis} basis
 * @returns {Comparison}
 */
export function compareArms(armsA, armsB, basis) {
  const [facesA, facesB] = [byFace(armsA), byFace(armsB)];
  const told = [...facesA].flatMap(([key, worn]) => {
    const other = facesB.get(key);
    return other ? [toldBy(worn, other.arms, basis)] : [];
  });
  const wearers = told.map(({ contrast }) => contrast);
  const { judgement, pooled, restsOn } = told.length
    ? overWearers(told)
    : { judgement: null, pooled: null, restsOn: /** @type {Contrast[]} */ ([]) };
  const across = judgement ? null : acrossFaces([...facesA.values()], [...facesB.values()], basis);
  const predicted = pooled && intervalOf(pooled.fresh, LEVELS.shown_level);
  const total = (/** @type {number[]} */ counts) => counts.reduce((sum, n) => sum + n, 0);
  const found = judgement ?? across?.judgement ?? UNKNOWN;
  const everyone = new Set(wearers.map(({ wearer }) => wearer));
  const mixed = new Set(wearers.filter(({ method }) => method === "mixed").map(({ wearer }) => wearer));
  return {
    ...found,
    wearers,
    pooled: restsOn.length,
    only_a: others(armsA, everyone),
    only_b: others(armsB, everyone),
    same_wearers: wearers.length > 0,
    n_a: total(wearers.length ? restsOn.map((c) => c.n_a) : armsA.map(donningsOf)),
    n_b: total(wearers.length ? restsOn.map((c) => c.n_b) : armsB.map(donningsOf)),
    predict_low95: predicted && found.bound !== "at_most" ? Math.exp(predicted.low) : null,
    predict_high95: predicted && found.bound !== "at_least" ? Math.exp(predicted.high) : null,
    tau: pooled && pooled.tau,
    wearers_same_method: everyone.size - mixed.size,
    wearers_mixed_method: mixed.size,
    method_adjustment: across ? across.taken : takenOut(told),
  };
}

/**
 * What one wearer's arms tell.
 * @param {Worn} worn those of A
 * @param {Arm[]} b
 * @param {Basis} basis
 * @returns {Told}
 */
function toldBy({ wearer, facial_hair: hair, arms: a }, b, basis) {
  const likened = likeWithLike(a, b, basis);
  const face = { wearer, facial_hair: hair };
  if (!likened) return nothing(face, a, b);
  const joint = likened.difference;
  const used = [0, 1].map((side) => new Set(likened.methods.map((pair) => name(/** @type {Method} */ (pair[side])))));
  const [nA = 0, nB = 0] = [a, b].map((arms, side) => {
    return arms.reduce((sum, arm) => sum + (used[side]?.has(name(arm.method)) ? donningsOf(arm) : 0), 0);
  });
  const exact = joint.limited.length === 0;
  const { adjustment } = likened;
  const donnings = (exact ? joint.variance : narrowestOf(joint)) - adjustment.own;
  const gsd = Math.exp(Math.sqrt(Math.max(donnings, 0) / (1 / nA + 1 / nB)));
  const { estimate, variance, df } = exact ? standing(likened, donnings) : { ...middle(joint), df: limitedDf(likened, a) };
  /** @type {Contrast} */
  const contrast = {
    ...judgeStudent(estimate, variance, df, boundOf(joint)),
    ...face,
    n_a: nA,
    n_b: nB,
    method: alike(likened) ? "same" : "mixed",
    estimate,
    variance,
    df,
    gsd,
  };
  if (exact && contrast.verdict === "cannot-tell") {
    const [addableA, addableB] = addable(contrast);
    const needed = (/** @type {number} */ difference) => moreDonnings(difference, gsd, addableA, addableB, likened.df);
    contrast.donnings_needed = needed(Math.log(LEVELS.doubling));
    contrast.donnings_for_seen = estimate === 0 ? null : needed(Math.abs(estimate));
  }
  return { contrast, limited: exact ? null : joint, shared: exact ? adjustment.loading : [], likened };
}

/** An exact difference with what is not known of methods, for a verdict by itself. */
function standing(/** @type {Likened} */ { difference, df, adjustment }, /** @type {number} */ donnings) {
  const variance = donnings + varianceOf(adjustment);
  return { estimate: difference.estimate, variance, df: df * (variance / donnings) ** 2 };
}

/** How far the wearer's own donnings scatter is all that is known of an arm with limits. */
function limitedDf(/** @type {Likened} */ { df }, /** @type {Arm[]} */ [arm]) {
  return Math.min(df, arm?.wearer_df ?? Infinity);
}

/** What stands for a difference with limits by itself: mean and variance of its likelihood, or the limits' values. */
function middle(/** @type {Joint} */ joint) {
  if (boundOf(joint) !== "none") return { estimate: middleOfJoint(joint), variance: narrowestOf(joint) };
  const [low, high] = endsOf(joint);
  const points = LEVELS.limit_points;
  const [plain, extra] = withoutExtra(joint);
  const grid = Array.from({ length: points }, (_, place) => low + ((high - low) * place) / (points - 1));
  const log = logLikelihood(plain, grid);
  const highest = Math.max(...log);
  const weights = log.map((value) => Math.exp(value - highest));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const moment = (/** @type {(d: number) => number} */ of) => {
    return grid.reduce((sum, d, place) => sum + (weights[place] ?? 0) * of(d), 0) / total;
  };
  const estimate = moment((d) => d);
  return { estimate, variance: moment((d) => (d - estimate) ** 2) + extra };
}

/**
 * A wearer with limits alone.
 * @param {{wearer: string, facial_hair: string}} face
 * @param {Arm[]} a
 * @param {Arm[]} b
 * @returns {Told}
 */
function nothing(face, a, b) {
  const methods = new Set(a.map((arm) => name(arm.method)));
  const [nA = 0, nB = 0] = [a, b].map((arms) => arms.reduce((sum, arm) => sum + donningsOf(arm), 0));
  const method = b.some((arm) => methods.has(name(arm.method))) ? "same" : "mixed";
  const figures = { estimate: 0, variance: Infinity, df: Infinity, gsd: Infinity };
  const limited = { estimate: 0, variance: Infinity, limited: [] };
  return { contrast: { ...UNKNOWN, ...face, n_a: nA, n_b: nB, method, ...figures }, limited, shared: [], likened: null };
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

/** Donnings of each side to which more could be added: none where only another method measured the other. @returns {[number, number]} */
function addable(/** @type {Pick<Contrast, "method" | "n_a" | "n_b">} */ { method, n_a: nA, n_b: nB }) {
  return method === "same" ? [nA, nB] : [0, 0];
}

/**
 * Fewest donnings to add to each side, beyond those at hand, that tell a difference.
 * @param {number} difference of ln FF, over 0
 * @param {number} gsd
 * @param {number} nA
 * @param {number} nB
 * @param {number} df
 */
export function moreDonnings(difference, gsd, nA, nB, df) {
  const effect = difference / Math.log(gsd);
  const enough = (/** @type {number} */ more) => {
    const nowDf = df + 2 * more;
    const shift = effect / Math.sqrt(1 / (nA + more) + 1 / (nB + more));
    return 1 - noncentralBelow(studentQuantile((1 + LEVELS.likely_level) / 2, nowDf), nowDf, shift) >= LEVELS.wanted_power;
  };
  // The normal approximation is a little too small: start there and walk to the exact number.
  const z = zNeeded() / effect;
  const most = LEVELS.most_added_donnings;
  const fewest = Math.min(nA, nB) < 1 ? 1 : 0;
  let more = Math.max(fewest, Math.ceil(2 * z * z - (nA + nB) / 2));
  if (!(more <= most)) return null;
  while (more > fewest && enough(more - 1)) more -= 1;
  while (more <= most && !enough(more)) more += 1;
  return more <= most ? more : null;
}

/**
 * What several wearers say together. Those without an exact reading on either side say nothing. The ratio is a limit only
 * where every wearer's is, all in one direction.
 * @param {Told[]} wearers
 * @returns {{judgement: Judgement, pooled: import("./mixture.js").Pooled | null, restsOn: Contrast[]}}
 */
function overWearers(wearers) {
  const telling = wearers.filter(({ limited }) => !limited || boundOf(limited) !== "both");
  const restsOn = telling.map(({ contrast }) => contrast);
  const [only, ...more] = restsOn;
  if (!only) return { judgement: { ...UNKNOWN }, pooled: null, restsOn: [] };
  if (more.length === 0) return { judgement: judgementOf(only), pooled: null, restsOn };
  const exact = telling.filter(({ limited }) => !limited).map(({ contrast, shared }) => {
    return { estimate: contrast.estimate, variance: contrast.variance - squares(shared), shared };
  });
  const limited = telling.flatMap((one) => (one.limited ? [one.limited] : []));
  const pooled = pool(exact, limited);
  const higher = above(pooled.mean, 0);
  const bounds = new Set(telling.map((one) => (one.limited ? boundOf(one.limited) : "none")));
  const [bound = "none"] = bounds.size === 1 ? bounds : [];
  const interval = (/** @type {number} */ level) => intervalOf(pooled.mean, level);
  const centre = bound === "none" ? meanOf(pooled.mean) : limit(restsOn, interval, bound);
  const judgement = judge(centre, interval, 2 * Math.min(higher, 1 - higher), bound);
  if (judgement.verdict === "cannot-tell" && limited.length === 0) {
    judgement.donnings_needed = moreDonningsEach(restsOn, pooled.tau, Math.log(LEVELS.doubling));
    judgement.donnings_for_seen = moreDonningsEach(restsOn, pooled.tau, Math.abs(meanOf(pooled.mean)));
  }
  return { judgement, pooled, restsOn };
}

/**
 * The limit that the mean is at least (or at most): that of the limits at their values, or a stricter one.
 * @param {Contrast[]} contrasts
 * @param {(level: number) => {low: number, high: number}} interval
 * @param {Bound} bound
 */
function limit(contrasts, interval, bound) {
  const atLimits = meanOf(pool(contrasts.map((c) => ({ ...c, shared: [] })), []).mean);
  const within = interval(LEVELS.likely_level);
  return bound === "at_least" ? Math.max(atLimits, within.low) : Math.min(atLimits, within.high);
}

/**
 * Donnings each wearer must add to each side; null where the spread between wearers is in the way. One who was measured
 * by different methods is taken to begin anew, by one.
 */
function moreDonningsEach(
  /** @type {Contrast[]} */ contrasts,
  /** @type {number} */ tau,
  /** @type {number} */ difference,
) {
  for (let more = 0; more <= LEVELS.most_added_donnings; more += 1) {
    const precision = contrasts.reduce((sum, { gsd, ...contrast }) => {
      const [nA, nB] = addable(contrast);
      const variance = Math.log(gsd) ** 2 * (1 / (nA + more) + 1 / (nB + more)) + tau ** 2;
      return sum + 1 / variance;
    }, 0);
    if (Math.sqrt(precision) * difference >= zNeeded()) return more;
  }
  return null;
}

/** The average of what was taken out of each wearer's contrast between methods. */
function takenOut(/** @type {Told[]} */ told) {
  const mixed = told.flatMap(({ likened }) => (likened && !alike(likened) ? [likened.adjustment] : []));
  if (mixed.length === 0) return null;
  const k = mixed.length;
  const errors = Math.max(...mixed.map(({ loading }) => loading.length));
  const average = (/** @type {(one: Adjustment) => number} */ of) => mixed.reduce((sum, one) => sum + of(one), 0) / k;
  return factorOf({
    estimate: average(({ estimate }) => estimate),
    loading: Array.from({ length: errors }, (_, error) => average(({ loading }) => loading[error] ?? 0)),
    own: average(({ own }) => own) / k,
  });
}

/** @returns {Taken} */
function factorOf(/** @type {Adjustment} */ adjustment) {
  const half = normalQuantile((1 + LEVELS.likely_level) / 2) * Math.sqrt(varianceOf(adjustment));
  const { estimate } = adjustment;
  return { factor: Math.exp(estimate), low90: Math.exp(estimate - half), high90: Math.exp(estimate + half) };
}

/**
 * Wearers' means of A against those of other wearers of B, on the scatter between faces; what their methods differ by on
 * average is taken out.
 * @param {Worn[]} facesA
 * @param {Worn[]} facesB
 * @param {Basis} basis
 * @returns {{judgement: Judgement, taken: Taken | null}}
 */
function acrossFaces(facesA, facesB, basis) {
  const [a, b] = [sideOf(facesA), sideOf(facesB)];
  const df = LEVELS.face_df + a.df + b.df;
  const planned = LEVELS.face_df * (LEVELS.face_sd ** 2 + basis.scatter.variance);
  const donnings = ((planned + a.squares + b.squares) / df) * (1 / a.n + 1 / b.n);
  const adjustment = between(a.methods, b.methods, basis);
  const variance = donnings + varianceOf(adjustment);
  const estimate = b.mean - a.mean - adjustment.estimate;
  const judgement = judgeStudent(estimate, variance, df * (variance / donnings) ** 2, sidesBound(a.limited, b.limited));
  const taken = adjustment.loading.some((part) => part !== 0) ? factorOf(adjustment) : null;
  if (judgement.verdict === "clear") return { judgement, taken };
  return { judgement: { ...judgement, verdict: "cannot-tell", direction: "none" }, taken };
}

/** The wearers of one configuration: their mean, the squares about it with their df, and the share of each method. */
function sideOf(/** @type {Worn[]} */ faces) {
  const n = faces.length;
  const count = (/** @type {Arm[]} */ arms) => arms.reduce((sum, arm) => sum + donningsOf(arm), 0);
  const means = faces.map(({ arms }) => arms.reduce((sum, arm) => sum + donningsOf(arm) * middleOf(arm), 0) / count(arms));
  const mean = means.reduce((sum, one) => sum + one, 0) / n;
  const limited = faces.some(({ arms }) => arms.some((arm) => arm.limits.length > 0));
  const about = limited ? 0 : means.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  /** @type {Map<Method, number>} */
  const methods = new Map();
  for (const { arms } of faces) {
    for (const arm of arms) {
      methods.set(arm.method, (methods.get(arm.method) ?? 0) + donningsOf(arm) / count(arms) / n);
    }
  }
  return { n, mean, squares: about, df: limited ? 0 : n - 1, limited, methods };
}

/** The arms by face, in the order of wearers: other facial hair makes another face. @returns {Map<string, Worn>} */
function byFace(/** @type {WornArm[]} */ arms) {
  /** @type {Map<string, Worn>} */
  const faces = new Map();
  for (const arm of arms) {
    const { wearer, facial_hair: hair } = arm;
    const key = JSON.stringify([wearer, hair]);
    const worn = faces.get(key) ?? { wearer, facial_hair: hair, arms: [] };
    worn.arms.push(arm);
    faces.set(key, worn);
  }
  return faces;
}

/** How many wearers are not among some. */
function others(/** @type {WornArm[]} */ arms, /** @type {Set<string>} */ both) {
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
function sidesBound(/** @type {boolean} */ a, /** @type {boolean} */ b) {
  if (a && b) return "both";
  if (b) return "at_least";
  return a ? "at_most" : "none";
}

function zNeeded() {
  return normalQuantile((1 + LEVELS.likely_level) / 2) + normalQuantile(LEVELS.wanted_power);
}
