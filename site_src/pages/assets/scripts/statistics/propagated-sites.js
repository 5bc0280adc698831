// A few answers taken into a joint normal by expectation propagation: step for step what the builder computes.
import { normalBelow } from "./distributions.js";
import { at, dot, gain, matrix, product, solve, times } from "./small-matrices.js";

/**
 * @typedef {import("./small-matrices.js").Matrix} Matrix
 *
 * @typedef {object} Site The likelihood of an answer, about one true ln fit factor.
 * @property {-1 | 0 | 1} side 0 for a reading at `place`; else the donning lay below or above it
 * @property {number} place
 * @property {number} floor the likelihood is floor + slope Φ(side (true − place)/τ)
 * @property {number} slope
 *
 * @typedef {{precision: number[], weighted: number[], logEvidence: number}} Settled
 */

const SWEEPS = 40;
const SETTLED = 1e-6;
/** What all sites whose answer is probably wrong may together take away of the prior's precision. */
const LEAST_PRECISION = -0.5;

/**
 * The sites as normals of natural parameters.
 * @param {number[]} mean of the true values, with what the methods of measuring add
 * @param {Matrix} covariance
 * @param {Site[]} sites
 * @param {number} noise variance of one donning
 * @returns {Settled}
 */
export function settle(mean, covariance, sites, noise) {
  const precision = sites.map(({ side }) => (side === 0 ? 1 / noise : 0));
  const weighted = sites.map(({ place }, i) => at(precision, i) * place);
  const doubtful = Math.max(1, sites.filter(({ floor }) => floor > 0).length);
  const least = sites.map((_, i) => LEAST_PRECISION / at(at(covariance, i), i) / doubtful);
  for (let sweep = 0; sweep < SWEEPS; sweep += 1) {
    const change = sweepOnce();
    if (change < SETTLED) break;
  }
  const { middle, spread } = posterior(mean, covariance, precision, weighted);
  let logEvidence = logIntegral(mean, covariance, precision, weighted);
  sites.forEach((site, i) => {
    const cavity = leaveOut(at(middle, i), at(at(spread, i), i), at(precision, i), at(weighted, i));
    logEvidence += logMass(cavity, noise, site).value;
    logEvidence -= logIntegral([cavity.mean], [[cavity.variance]], [at(precision, i)], [at(weighted, i)]);
  });
  return { precision, weighted, logEvidence };

  /** Sets each one-sided site to what makes its first two moments right; gives the largest change. */
  function sweepOnce() {
    let change = 0;
    sites.forEach((site, i) => {
      if (site.side === 0) return;
      const { middle: now, spread: left } = posterior(mean, covariance, precision, weighted);
      const cavity = leaveOut(at(now, i), at(at(left, i), i), at(precision, i), at(weighted, i));
      const { slope, curvature } = logMass(cavity, noise, site);
      const tiltedMean = cavity.mean + cavity.variance * slope;
      const tiltedVariance = cavity.variance + cavity.variance ** 2 * curvature;
      const [before, weightedBefore] = [at(precision, i), at(weighted, i)];
      const fresh = Math.max(1 / tiltedVariance - 1 / cavity.variance, at(least, i));
      precision[i] = fresh;
      weighted[i] = tiltedMean * (fresh + 1 / cavity.variance) - cavity.mean / cavity.variance;
      change = Math.max(change, Math.abs(fresh - before), Math.abs(at(weighted, i) - weightedBefore));
    });
    return change;
  }
}

/** @typedef {{mean: number, variance: number}} Cavity */

function posterior(
  /** @type {number[]} */ mean,
  /** @type {Matrix} */ covariance,
  /** @type {number[]} */ precision,
  /** @type {number[]} */ weighted,
) {
  const taken = product(product(covariance, gain(covariance, precision)), covariance);
  const spread = matrix(mean.length, mean.length, (i, j) => at(at(covariance, i), j) - at(at(taken, i), j));
  const away = weighted.map((value, i) => value - at(precision, i) * at(mean, i));
  const moved = times(spread, away);
  return { middle: mean.map((value, i) => value + at(moved, i)), spread, away };
}

/**
 * What all other answers say of one true value.
 * @param {number} mean
 * @param {number} variance
 * @param {number} precision
 * @param {number} weighted
 * @returns {Cavity}
 */
function leaveOut(mean, variance, precision, weighted) {
  const left = 1 / (1 / variance - precision);
  return { mean: left * (mean / variance - weighted), variance: left };
}

/**
 * The log of an answer's chance given the others, with its first two derivatives in their mean.
 * @param {Cavity} cavity
 * @param {number} noise
 * @param {Site} site
 */
function logMass({ mean, variance }, noise, { side, place, floor, slope }) {
  const total = Math.sqrt(variance + noise);
  const away = (mean - place) / total;
  const logDensity = -0.5 * away ** 2 - 0.5 * Math.log(2 * Math.PI);
  if (side === 0) return { value: logDensity - Math.log(total), slope: -away / total, curvature: -1 / total ** 2 };
  const value = floor ? Math.log(floor + slope * normalBelow(side * away)) : Math.log(slope) + logBelow(side * away);
  const steep = (slope * Math.exp(logDensity - value)) / total;
  return { value, slope: side * steep, curvature: -steep * (steep + (side * away) / total) };
}

/** ln Φ, safe far below 0 where Φ itself vanishes (Abramowitz & Stegun 26.2.12). */
function logBelow(/** @type {number} */ x) {
  if (x > -20) return Math.log(normalBelow(x));
  const s = 1 / x ** 2;
  return -0.5 * x * x - Math.log(-x * Math.sqrt(2 * Math.PI)) + Math.log1p(-s * (1 - 3 * s * (1 - 5 * s)));
}

/** Log of the integral of a normal times exp(weighted η − precision η²/2) for each true value. */
function logIntegral(
  /** @type {number[]} */ mean,
  /** @type {Matrix} */ covariance,
  /** @type {number[]} */ precision,
  /** @type {number[]} */ weighted,
) {
  const n = mean.length;
  const { logDeterminant } = solve(
    matrix(n, n, (i, j) => (i === j ? 1 : 0) + at(precision, i) * at(at(covariance, i), j)),
    matrix(n, 0, () => 0),
  );
  const { spread, away } = posterior(mean, covariance, precision, weighted);
  const atMean = mean.map((m, i) => at(weighted, i) * m - 0.5 * at(precision, i) * m * m);
  return -0.5 * logDeterminant + 0.5 * dot(away, times(spread, away)) + atMean.reduce((sum, value) => sum + value, 0);
}
