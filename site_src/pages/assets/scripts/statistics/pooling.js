// Random effects: contrasts of several wearers pooled over a grid of the spread τ between them, as the builder does.
import { normalBelow, whereReached } from "./distributions.js";
import { LEVELS } from "../words/levels.js";

/**
 * A mixture of normal distributions.
 * @typedef {{weight: number, mean: number, sd: number}[]} Mixture
 *
 * @typedef {{mean: Mixture, fresh: Mixture, tau: number}} Pooled of the mean effect, of that on a new wearer, and the
 *   expected spread between wearers
 */

/** @param {Mixture} mixture */
export function meanOf(mixture) {
  return mixture.reduce((sum, part) => sum + part.weight * part.mean, 0);
}

/**
 * Chance of exceeding a value.
 * @param {Mixture} mixture
 * @param {number} value
 */
export function above(mixture, value) {
  return mixture.reduce((sum, part) => sum + part.weight * normalBelow((part.mean - value) / part.sd), 0);
}

/**
 * Interval with equal tails.
 * @param {Mixture} mixture
 * @param {number} level
 * @returns {{low: number, high: number}}
 */
export function intervalOf(mixture, level) {
  const least = Math.min(...mixture.map((part) => part.mean - 10 * part.sd));
  const most = Math.max(...mixture.map((part) => part.mean + 10 * part.sd));
  const quantile = (/** @type {number} */ probability) =>
    whereReached((x) => 1 - above(mixture, x), probability, least, most);
  return { low: quantile((1 - level) / 2), high: quantile((1 + level) / 2) };
}

/**
 * The posterior of the mean effect and of the effect on a new wearer. Given τ both are normal: with w = 1/(v + τ²) and
 * P = Σw + 1/mean_sd², the mean is N(Σwy/P, 1/P), a new effect has τ² more, and τ weighs
 * exp(−½(τ/tau_scale)²) · Π√w · P^−½ · exp(−½(Σwy² − (Σwy)²/P)).
 * @param {{estimate: number, variance: number}[]} effects ln ratios with their sampling variances
 * @returns {Pooled}
 */
export function pool(effects) {
  const grid = Array.from({ length: LEVELS.grid_points }, (_, step) => {
    const tau = (step * LEVELS.grid_end * LEVELS.tau_scale) / (LEVELS.grid_points - 1);
    let [precision, wy, wyy, logW] = [LEVELS.mean_sd ** -2, 0, 0, 0];
    for (const { estimate, variance } of effects) {
      const w = 1 / (variance + tau * tau);
      precision += w;
      wy += w * estimate;
      wyy += w * estimate * estimate;
      logW += Math.log(w);
    }
    const misfit = wyy - (wy * wy) / precision;
    const logWeight = -0.5 * ((tau / LEVELS.tau_scale) ** 2 - logW + Math.log(precision) + misfit);
    return { tau, precision, mean: wy / precision, logWeight };
  });
  const highest = Math.max(...grid.map((point) => point.logWeight));
  const ends = [0, LEVELS.grid_points - 1];
  const weighed = grid.map((point, step) => {
    return { ...point, weight: Math.exp(point.logWeight - highest) / (ends.includes(step) ? 2 : 1) };
  });
  const total = weighed.reduce((sum, { weight }) => sum + weight, 0);
  const posterior = weighed.map((point) => ({ ...point, weight: point.weight / total, variance: 1 / point.precision }));
  return {
    mean: posterior.map(({ weight, mean, variance }) => ({ weight, mean, sd: Math.sqrt(variance) })),
    fresh: posterior.map(({ weight, mean, variance, tau }) => ({ weight, mean, sd: Math.sqrt(variance + tau * tau) })),
    tau: posterior.reduce((sum, { weight, tau }) => sum + weight * tau, 0),
  };
}
