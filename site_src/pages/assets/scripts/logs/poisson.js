// Exact limits for particle counts, which are Poisson distributed since particles arrive at random.
import { incompleteBeta, normalQuantile } from "../statistics/distributions.js";
import { LEVELS } from "../words/levels.js";

/** Counts beyond these are as good as normal, or add nothing to the limits: less than a digit that is shown. */
const AS_GOOD_AS_NORMAL = 1e7;
const AS_GOOD_AS_KNOWN = 1e8;

/**
 * 95 % Clopper–Pearson limits of the ratio of two counts, `upper` over `lower`, times `scale`; at most one is 0.
 * @param {number} upper
 * @param {number} lower
 * @param {number} scale
 */
export function ratioLimits(upper, lower, scale) {
  const tail = LEVELS.beyond_shown / 2;
  if (Math.min(upper, lower) > AS_GOOD_AS_NORMAL) {
    const spread = Math.exp(normalQuantile(1 - tail) * Math.sqrt(1 / upper + 1 / lower));
    return { low: ((upper / lower) * scale) / spread, high: (upper / lower) * scale * spread };
  }
  if (upper > AS_GOOD_AS_KNOWN) return ratioLimits(AS_GOOD_AS_KNOWN, lower, (upper / AS_GOOD_AS_KNOWN) * scale);
  if (lower > AS_GOOD_AS_KNOWN) return ratioLimits(upper, AS_GOOD_AS_KNOWN, (AS_GOOD_AS_KNOWN / lower) * scale);
  const most = upper ? odds(1 - tail, lower + 1, upper) : Infinity;
  const least = lower ? odds(tail, lower, upper + 1) : 0;
  return { low: scale / most, high: least ? scale / least : Infinity };
}

/**
 * Two-sided p that two rates are equal, where `share` is that of the time in which `count` was counted.
 * @param {number} count
 * @param {number} other
 * @param {number} share
 */
export function equalRatesPValue(count, other, share) {
  const asFew = other ? incompleteBeta(1 - share, other, count + 1) : 1;
  const asMany = count ? incompleteBeta(share, count, other + 1) : 1;
  return Math.min(1, 2 * Math.min(asFew, asMany));
}

/**
 * One-sided lower limit of the fit factor where no particle was counted in the mask.
 * @param {number} unmasked the count the mask would have had without a mask
 * @param {number} ambient the ambient count
 */
export function zeroCountLimit(unmasked, ambient) {
  return unmasked / ambient / Math.expm1(-Math.log(LEVELS.beyond_shown) / ambient);
}

/** The odds x / (1 − x) at which the regularised incomplete beta function reaches a value, by bisection of their logarithm. */
function odds(/** @type {number} */ value, /** @type {number} */ a, /** @type {number} */ b) {
  // Twelve standard deviations of that logarithm hold all that is asked for.
  const reach = 12 * Math.sqrt(1 / a + 1 / b);
  let [low, high] = [Math.log(a / b) - reach, Math.log(a / b) + reach];
  for (;;) {
    const middle = (low + high) / 2;
    if (high - low < 1e-10) return Math.exp(middle);
    const below = Math.exp(middle) / (1 + Math.exp(middle));
    if (incompleteBeta(below, a, b) < value) low = middle;
    else high = middle;
  }
}
