// Random effects: contrasts of several wearers pooled over a grid of the spread τ between them, as the builder does.
import { normalBelow, whereReached } from "./distributions.js";

/** Scale of the half-normal prior on τ, and SD of the normal prior on the mean (half a decade), ln units. */
const TAU_SCALE = 0.7;
const MEAN_SD = 0.5 * Math.log(10);

const GRID_POINTS = 61;
const GRID_END = 4;

/**
 * A mixture of normal distributions.
 * @typedef {{weight: number, mean: number, sd: number}[]} Mixture
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
  const quantile = (probability) => whereReached((x) => 1 - above(mixture, x), probability, least, most);
  return { low: quantile((1 - level) / 2), high: quantile((1 + level) / 2) };
}

/**
 * The posterior of the mean effect and of the effect on a new wearer. Given τ both are normal: with w = 1/(v + τ²) and
 * P = Σw + 1/MEAN_SD², the mean is N(Σwy/P, 1/P), a new effect has τ² more, and τ weighs
 * exp(−½(τ/TAU_SCALE)²) · Π√w · P^−½ · exp(−½(Σwy² − (Σwy)²/P)).
 * @param {{estimate: number, variance: number}[]} effects ln ratios with their sampling variances
 * @returns {{mean: Mixture, fresh: Mixture, tau: number}}
 */
export function pool(effects) {
  const grid = Array.from({ length: GRID_POINTS }, (_, step) => {
    const tau = (step * GRID_END * TAU_SCALE) / (GRID_POINTS - 1);
    let [precision, wy, wyy, logW] = [MEAN_SD ** -2, 0, 0, 0];
    for (const { estimate, variance } of effects) {
      const w = 1 / (variance + tau * tau);
      precision += w;
      wy += w * estimate;
      wyy += w * estimate * estimate;
      logW += Math.log(w);
    }
    const misfit = wyy - (wy * wy) / precision;
    const logWeight = -0.5 * ((tau / TAU_SCALE) ** 2 - logW + Math.log(precision) + misfit);
    return { tau, precision, mean: wy / precision, logWeight };
  });
  const highest = Math.max(...grid.map((point) => point.logWeight));
  const atEnd = (step) => step === 0 || step === GRID_POINTS - 1;
  const weights = grid.map((point, step) => Math.exp(point.logWeight - highest) / (atEnd(step) ? 2 : 1));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mixture = (variance) =>
    grid.map((point, step) => ({ weight: weights[step] / total, mean: point.mean, sd: Math.sqrt(variance(point)) }));
  return {
    mean: mixture((point) => 1 / point.precision),
    fresh: mixture((point) => 1 / point.precision + point.tau * point.tau),
    tau: grid.reduce((sum, point, step) => sum + (weights[step] / total) * point.tau, 0),
  };
}
