// Distributions that comparisons rest on: normal, Student's t and noncentral t. Accurate to about 1e-12.

/** Coefficients of Lanczos's approximation with g = 7 (SIAM J. Numer. Anal. B 1964;1:86–96; nine terms by Godfrey). */
const LANCZOS_FIRST = 0.99999999999980993;
const LANCZOS = [
  676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059, 12.507343278686905,
  -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

/**
 * Natural logarithm of the gamma function, for x > 0.
 * @param {number} x
 * @returns {number}
 */
function lnGamma(x) {
  // Γ(x) = Γ(x + 1) / x keeps small arguments in the range where the terms are accurate.
  if (x < 0.5) return lnGamma(x + 1) - Math.log(x);
  const t = x + 6.5;
  const sum = LANCZOS.reduce((total, term, index) => total + term / (x + index), LANCZOS_FIRST);
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/**
 * Regularised incomplete beta function I_x(a, b), by its continued fraction (DLMF 8.17.22) in Lentz's form.
 * @param {number} x from 0 to 1
 * @param {number} a above 0
 * @param {number} b above 0
 * @returns {number}
 */
export function incompleteBeta(x, a, b) {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  // The fraction converges fast on this side only.
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = Math.exp(lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  return front / betaFraction(x, a, b);
}

/** The continued fraction 1 + d₁/(1 + d₂/(1 + …)). */
function betaFraction(/** @type {number} */ x, /** @type {number} */ a, /** @type {number} */ b) {
  const nonzero = (/** @type {number} */ term) => (Math.abs(term) < 1e-300 ? 1e-300 : term);
  let [value, c, d] = [1, 1, 0];
  for (let step = 1; step < 10_000; step += 1) {
    const m = Math.floor(step / 2);
    const term =
      step % 2 === 0
        ? (m * (b - m) * x) / ((a + step - 1) * (a + step))
        : (-(a + m) * (a + b + m) * x) / ((a + step - 1) * (a + step));
    d = 1 / nonzero(1 + term * d);
    c = nonzero(1 + term / c);
    value *= c * d;
    if (Math.abs(c * d - 1) < 1e-15) break;
  }
  return value;
}

/**
 * Chance that Student's t is below a value.
 * @param {number} t
 * @param {number} df above 0
 */
export function studentBelow(t, df) {
  const tail = 0.5 * incompleteBeta(df / (df + t * t), df / 2, 0.5);
  return t > 0 ? 1 - tail : tail;
}

/**
 * Quantile of Student's t, for probabilities of one half and above.
 * @param {number} probability
 * @param {number} df
 */
export function studentQuantile(probability, df) {
  let high = 1;
  while (studentBelow(high, df) < probability) high *= 2;
  return whereReached((t) => studentBelow(t, df), probability, 0, high);
}

/** Hart's rational approximation (Computer Approximations, 1968, no. 5666), as G. West gives it (Wilmott, May 2005). */
const HART_ABOVE = [
  3.52624965998911e-2, 0.700383064443688, 6.37396220353165, 33.912866078383, 112.079291497871, 221.213596169931,
  220.206867912376,
];
const HART_BELOW = [
  8.83883476483184e-2, 1.75566716318264, 16.064177579207, 86.7807322029461, 296.564248779674, 637.333633378831,
  793.826512519948, 440.413735824752,
];

/**
 * Chance that a standard normal variable is below a value.
 * @param {number} x
 */
export function normalBelow(x) {
  const size = Math.abs(x);
  if (size > 37) return x > 0 ? 1 : 0;
  const density = Math.exp(-0.5 * size * size);
  let tail;
  if (size < 7.07106781186547) {
    let [above, below] = [0, 0];
    for (const term of HART_ABOVE) above = above * size + term;
    for (const term of HART_BELOW) below = below * size + term;
    tail = (density * above) / below;
  } else {
    const fraction = size + 1 / (size + 2 / (size + 3 / (size + 4 / (size + 0.65))));
    tail = density / (fraction * Math.sqrt(2 * Math.PI));
  }
  return x > 0 ? 1 - tail : tail;
}

/**
 * Natural logarithm of the same, far out too: by Laplace's continued fraction for the tail (DLMF 7.9.3).
 * @param {number} x
 */
export function logNormalBelow(x) {
  if (x > -3) return x > 0 ? Math.log1p(-normalBelow(-x)) : Math.log(normalBelow(x));
  let fraction = -x;
  for (let term = 60; term > 0; term -= 1) fraction = -x + term / fraction;
  return -0.5 * x * x - 0.5 * Math.log(2 * Math.PI) - Math.log(fraction);
}

/**
 * Quantile of the standard normal distribution.
 * @param {number} probability
 */
export function normalQuantile(probability) {
  return whereReached(normalBelow, probability, -8, 8);
}

/**
 * Chance that noncentral t is below a value: Φ(t·s − shift) averaged over the scatter estimate s = √(χ²/df).
 * In ln s the average is a smooth integrand that dies away on both sides, for which the trapezoid rule is all but exact.
 * @param {number} t
 * @param {number} df
 * @param {number} shift
 */
export function noncentralBelow(t, df, shift) {
  const steps = 1000;
  // Beyond these the density is below e⁻⁴⁰ of its peak.
  const [low, high] = [-(40 / df + 0.5), Math.sqrt(40 / df)];
  let [sum, total] = [0, 0];
  for (let step = 0; step <= steps; step += 1) {
    const x = low + ((high - low) * step) / steps;
    const density = Math.exp(df * (x - Math.expm1(2 * x) / 2));
    sum += density * normalBelow(t * Math.exp(x) - shift);
    total += density;
  }
  return sum / total;
}

/**
 * Where a rising function reaches a value, between two places, by bisection.
 * @param {(x: number) => number} rising
 * @param {number} value
 * @param {number} low
 * @param {number} high
 */
function whereReached(rising, value, low, high) {
  let [least, most] = [low, high];
  for (;;) {
    const middle = (least + most) / 2;
    if (middle <= least || middle >= most) return middle;
    if (rising(middle) < value) least = middle;
    else most = middle;
  }
}
