// Two configurations on one wearer who was measured by several methods: like with like where that is possible, and
// otherwise what is known of the difference between methods taken out: builder/fit/compare/like_with_like.py.
import { donningsOf } from "./limits.js";

/**
 * @typedef {Published.Basis} Basis
 * @typedef {import("./limits.js").Joint} Joint
 * @typedef {import("./limits.js").Limited} Limited
 * @typedef {Published.Method} Method
 *
 * @typedef {Pick<Published.Arm, "method" | "n" | "mean" | "moderated" | "df" | "wearer_df" | "limits">} Arm
 *   The tests of one configuration on one wearer by one method.
 *
 * @typedef {{estimate: number, loading: number[], own: number}} Adjustment
 *   What B's method adds to ln FF beside A's, its loadings of errors that all such share, and a wearer's own variance.
 *
 * @typedef {{difference: Joint, df: number, methods: [Method, Method][], adjustment: Adjustment}} Likened
 *   B − A on one wearer; its variance is without what all contrasts between methods share.
 */

/** @type {Adjustment} */
const SAME = { estimate: 0, loading: [], own: 0 };

/** Whether both sides were measured by the same methods. */
export function alike(/** @type {Likened} */ { methods }) {
  return methods.every(([a, b]) => name(a) === name(b));
}

/** How a method is told apart. */
export function name(/** @type {Method} */ method) {
  return JSON.stringify(method);
}

/** Variance of an adjustment on a wearer without bridging tests. */
export function varianceOf(/** @type {Adjustment} */ { loading, own }) {
  return squares(loading) + own;
}

/** Sum of squares. */
export function squares(/** @type {number[]} */ values) {
  return values.reduce((sum, value) => sum + value * value, 0);
}

/**
 * @param {Arm[]} a
 * @param {Arm[]} b
 * @param {Basis} basis
 * @returns {Likened | null} null where limits on both sides leave nothing to tell
 */
export function likeWithLike(a, b, basis) {
  const pairs = a.flatMap((x) => b.map((y) => /** @type {[Arm, Arm]} */ ([x, y])));
  const common = pairs.filter(([x, y]) => name(x.method) === name(y.method) && (x.n || y.n));
  if (common.length) return same(common, basis);
  const exact = pairs.filter(([x, y]) => !x.limits.length && !y.limits.length);
  const telling = exact.length ? exact : pairs.filter(([x, y]) => x.n || y.n);
  const costs = telling.map(([x, y]) => {
    const adjustment = between(new Map([[x.method, 1]]), new Map([[y.method, 1]]), basis);
    adjustment.own = basis.methods.own;
    const errors = x.moderated / donningsOf(x) + y.moderated / donningsOf(y);
    return { x, y, adjustment, cost: errors + varianceOf(adjustment) };
  });
  const [first, ...others] = costs;
  if (!first) return null;
  const { x, y, adjustment } = others.reduce((best, one) => (one.cost < best.cost ? one : best), first);
  if (!exact.length) {
    // What methods share is taken for the wearer's own here: a limit has no loading.
    const variance = varianceOf(adjustment);
    const limited = [{ a: x, b: y, shift: -adjustment.estimate, extra: variance }];
    const alone = { estimate: adjustment.estimate, loading: [], own: variance };
    return {
      difference: { estimate: 0, variance: Infinity, limited },
      df: Infinity,
      methods: [[x.method, y.method]],
      adjustment: alone,
    };
  }
  const plain = same([[x, y]], basis);
  const { estimate, variance, limited } = plain.difference;
  const difference = { estimate: estimate - adjustment.estimate, variance: variance + adjustment.own, limited };
  return { ...plain, difference, adjustment };
}

/**
 * What B's methods add to ln FF beside A's on average, from the share of each.
 * @param {Map<Method, number>} a
 * @param {Map<Method, number>} b
 * @param {Basis} basis
 * @returns {Adjustment}
 */
export function between(a, b, { methods: { levels, mean, loadings } }) {
  const place = new Map(levels.map((level, index) => [JSON.stringify(level), index]));
  const row = levels.map(() => 0);
  for (const { sign, shares } of [{ sign: -1, shares: a }, { sign: 1, shares: b }]) {
    for (const [method, share] of shares) {
      for (const [column, value] of method.entries()) {
        const index = place.get(JSON.stringify([column, value]));
        if (index !== undefined) row[index] = (row[index] ?? 0) + sign * share;
      }
    }
  }
  const weights = row.map((weight) => (Math.abs(weight) < 1e-12 ? 0 : weight));
  const sum = (/** @type {(index: number) => number} */ of) => weights.reduce((total, weight, index) => total + weight * of(index), 0);
  return {
    estimate: sum((index) => mean[index] ?? 0),
    loading: levels.map((_, error) => sum((index) => loadings[index]?.[error] ?? 0)),
    own: 0,
  };
}

/**
 * Pairs of arms together, as they were read.
 * @param {[Arm, Arm][]} pairs
 * @param {Basis} basis
 * @returns {Likened}
 */
function same(pairs, basis) {
  const exact = pairs.filter(([x, y]) => !x.limits.length && !y.limits.length);
  /** @type {Limited[]} */
  const limited = pairs.filter(([x, y]) => x.limits.length || y.limits.length).map(([a, b]) => ({ a, b, shift: 0, extra: 0 }));
  const methods = pairs.map(([x, y]) => /** @type {[Method, Method]} */ ([x.method, y.method]));
  if (exact.length === 0) {
    return { difference: { estimate: 0, variance: Infinity, limited }, df: Infinity, methods, adjustment: SAME };
  }
  const errors = exact.map(([x, y]) => x.moderated / x.n + y.moderated / y.n);
  const precision = errors.reduce((sum, error) => sum + 1 / error, 0);
  const [estimate, variance] = [
    exact.reduce((sum, [x, y], place) => sum + (y.mean - x.mean) / (errors[place] ?? 1) / precision, 0),
    1 / precision,
  ];
  const shares = exact.flatMap((pair, place) => {
    const weight = 1 / (errors[place] ?? 1) / precision;
    return pair.map((arm) => ({ arm, share: (weight ** 2 * arm.moderated) / arm.n / variance }));
  });
  return { difference: { estimate, variance, limited }, df: degrees(shares, basis), methods, adjustment: SAME };
}

/**
 * Degrees of freedom of a sum over arms of one wearer: what is not known of the arms beyond their wearer, and what is not
 * known of the wearer, which all arms share.
 * @param {{arm: Arm, share: number}[]} shares
 * @param {Basis} basis
 */
function degrees(shares, { scatter: { arm_df: armDf } }) {
  const own = shares.reduce((sum, { arm, share }) => sum + share ** 2 / (armDf + arm.df), 0);
  const kept = shares.reduce((sum, { arm, share }) => sum + share / (1 + arm.df / armDf), 0);
  return 1 / (own + kept ** 2 / (shares[0]?.arm.wearer_df ?? 1));
}
