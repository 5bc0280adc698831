// What two parts do together, shrunk towards the product of their effects: builder/fit/compare/interactions.py.
import { basisOf, identity, inverse, isUnit, pseudoInverse, transposed } from "./linear.js";
import { dot, matrix, product, solve, times } from "./small-matrices.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./small-matrices.js").Matrix} Matrix
 * @typedef {{y: number[], error: Matrix, design: Matrix}} Arms means of ln FF with their covariance, and the design
 */

/** Arms drawn towards the product of their parts, averaged over how far they miss it. */
export class AveragedArms {
  /** @param {Arms} arms */
  constructor(arms) {
    this.y = arms.y;
    const steps = Array.from({ length: LEVELS.interaction_steps }, (_, place) => {
      return LEVELS.interaction_reach * ((2 * place) / (LEVELS.interaction_steps - 1) - 1);
    });
    const shrunk = steps.map((step) => shrunkArms(arms, (LEVELS.interaction_sd / Math.SQRT2) * Math.exp(LEVELS.interaction_sd_spread * step)));
    const logs = shrunk.map(({ logEvidence }, place) => logEvidence - 0.5 * (steps[place] ?? 0) ** 2);
    const highest = Math.max(...logs);
    const weights = logs.map((log) => Math.exp(log - highest));
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    this.shrunk = shrunk.map((one, place) => ({ ...one, share: (weights[place] ?? 0) / total }));
  }

  /**
   * A sum over arms of true ln FF with its standard error.
   * @param {number[]} weights
   */
  estimate(weights) {
    const each = this.shrunk.map(({ hat, error, share }) => {
      return { share, mean: dot(weights, times(hat, this.y)), variance: dot(weights, times(error, weights)) };
    });
    const estimate = each.reduce((sum, one) => sum + one.share * one.mean, 0);
    const variance = each.reduce((sum, one) => sum + one.share * (one.variance + (one.mean - estimate) ** 2), 0);
    return { estimate, se: Math.sqrt(variance) };
  }
}

/** @param {Arms} arms @param {number} sd that of an arm beside the product of its parts, ln units */
function shrunkArms({ y, error, design }, sd) {
  const n = y.length;
  const even = identity(n);
  const precision = inverse(matrix(n, n, (i, j) => (i === j ? sd ** 2 : 0) + (error[i]?.[j] ?? 0)));
  const weighted = product(transposed(design), precision);
  const mean = product(product(design, pseudoInverse(product(weighted, design), basisOf(design))), weighted);
  const left = matrix(n, n, (i, j) => (even[i]?.[j] ?? 0) - (mean[i]?.[j] ?? 0));
  const drawn = product(precision, left);
  const hat = matrix(n, n, (i, j) => (mean[i]?.[j] ?? 0) + sd ** 2 * (drawn[i]?.[j] ?? 0));
  const away = matrix(n, n, (i, j) => (hat[i]?.[j] ?? 0) - (even[i]?.[j] ?? 0));
  const [beside, donnings] = [product(away, transposed(away)), product(product(hat, error), transposed(hat))];
  const residual = times(left, y);
  const basis = basisOf(transposed(design));
  const within = logDeterminant(product(product(basis, precision), transposed(basis)));
  const fit = dot(residual, times(precision, residual));
  return {
    hat,
    error: matrix(n, n, (i, j) => sd ** 2 * (beside[i]?.[j] ?? 0) + (donnings[i]?.[j] ?? 0)),
    logEvidence: -0.5 * (within - logDeterminant(precision) + fit),
  };
}

function logDeterminant(/** @type {Matrix} */ a) {
  return solve(a, a.map(() => [])).logDeterminant;
}

/**
 * Plain least squares' weights over arms for what the first of two columns does apart from the second and together with
 * it, and for what the two do beyond the product of their effects; null where the arms cannot tell them apart.
 * @param {Matrix} design its first column of ones
 * @param {number} first
 * @param {number} second
 */
export function pairWeights(design, first, second) {
  const both = design.map((row) => [...row, (row[first] ?? 0) * (row[second] ?? 0)]);
  const last = (both[0]?.length ?? 0) - 1;
  const basis = basisOf(both);
  const space = product(transposed(basis), basis);
  if (![first, second, last].every((column) => isUnit(space, column))) return null;
  const across = transposed(both);
  const solver = product(pseudoInverse(product(across, both), basis), across);
  const [apart = [], beyond = []] = [solver[first], solver[last]];
  return { apart, together: apart.map((weight, arm) => weight + (beyond[arm] ?? 0)), beyond };
}
