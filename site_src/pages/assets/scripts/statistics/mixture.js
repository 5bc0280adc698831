// Mixtures of normal distributions: what is known of an effect.
import { normalBelow, normalQuantile } from "./distributions.js";

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
  return { low: quantile(mixture, (1 - level) / 2), high: quantile(mixture, (1 + level) / 2) };
}

/** By Newton's steps, halfway where one would lead out of what is left. */
function quantile(/** @type {Mixture} */ mixture, /** @type {number} */ probability) {
  let low = mixture.reduce((least, { mean, sd }) => Math.min(least, mean - 10 * sd), Infinity);
  let high = mixture.reduce((most, { mean, sd }) => Math.max(most, mean + 10 * sd), -Infinity);
  const middle = meanOf(mixture);
  const variance = mixture.reduce((sum, { weight, mean, sd }) => sum + weight * (sd * sd + (mean - middle) ** 2), 0);
  let found = middle + Math.sqrt(variance) * normalQuantile(probability);
  for (let step = 0; step < 200; step += 1) {
    let [lack, density] = [-probability, 0];
    for (const { weight, mean, sd } of mixture) {
      const z = (found - mean) / sd;
      lack += weight * normalBelow(z);
      density += (weight * Math.exp(-0.5 * z * z)) / sd / Math.sqrt(2 * Math.PI);
    }
    if (lack < 0) low = found;
    else high = found;
    const ahead = found - lack / Math.max(density, 1e-300);
    const next = ahead >= low && ahead <= high ? ahead : (low + high) / 2;
    const moved = Math.abs(next - found);
    found = next;
    if (moved < 1e-12) break;
  }
  return found;
}
