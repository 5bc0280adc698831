// Random effects where some wearers are only known to be above or below a value, and errors that contrasts between
// methods share: builder/fit/compare/limited_pooling.py, step for step.
import { normalBelow } from "./distributions.js";
import { endsOf, logLikelihood, narrowestOf, withoutExtra } from "./limits.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./limits.js").Joint} Joint
 * @typedef {import("./mixture.js").Mixture} Mixture
 * @typedef {import("./mixture.js").Pooled} Pooled
 * @typedef {{estimate: number, variance: number, shared: number[]}} Exact a contrast; its variance is without `shared`
 *
 * @typedef {{tau: number, centre: number, sd: number, logWeight: number}} Given what the exact contrasts say at one τ
 */

/**
 * The posterior of the mean effect and of the effect on a new wearer.
 * @param {Exact[]} exact
 * @param {Joint[]} limited
 * @returns {Pooled}
 */
export function pool(exact, limited) {
  const grid = Array.from({ length: LEVELS.grid_points }, (_, step) => {
    const given = atTau(exact, (step * LEVELS.grid_end * LEVELS.tau_scale) / (LEVELS.grid_points - 1));
    const end = step === 0 || step === LEVELS.grid_points - 1;
    return end ? { ...given, logWeight: given.logWeight - Math.LN2 } : given;
  });
  return limited.length ? withLimits(grid, limited) : mixed(grid.map((one) => ({ ...one, mean: one.centre })));
}

/**
 * Given τ the mean effect is normal: with w = 1/(v + τ²), weighted sums less what errors in common take away.
 * @param {Exact[]} exact
 * @param {number} tau
 * @returns {Given}
 */
function atTau(exact, tau) {
  const errors = Math.max(0, ...exact.map(({ shared }) => shared.length));
  const matrix = Array.from({ length: errors }, (_, row) => Array.from({ length: errors }, (__, col) => Number(row === col)));
  const [withOne, withY] = [Array(errors).fill(0), Array(errors).fill(0)];
  let [precision, wy, wyy, logW] = [LEVELS.mean_sd ** -2, 0, 0, 0];
  for (const { estimate, variance, shared } of exact) {
    const w = 1 / (variance + tau * tau);
    precision += w;
    wy += w * estimate;
    wyy += w * estimate * estimate;
    logW += Math.log(w);
    for (const [row, z] of shared.entries()) {
      if (z === 0) continue;
      withOne[row] += w * z;
      withY[row] += w * z * estimate;
      const line = matrix[row] ?? [];
      for (const [col, other] of shared.entries()) line[col] = (line[col] ?? 0) + w * z * other;
    }
  }
  const { logDeterminant, solved } = forward(matrix, [withOne, withY]);
  const [one = [], y = []] = solved;
  precision -= dot(one, one);
  wy -= dot(one, y);
  wyy -= dot(y, y);
  logW -= logDeterminant;
  const centre = wy / precision;
  const logWeight = -0.5 * ((tau / LEVELS.tau_scale) ** 2 - logW + Math.log(precision) + wyy - centre ** 2 * precision);
  return { tau, centre, sd: 1 / Math.sqrt(precision), logWeight };
}

/**
 * Columns solved by the lower triangle of Cholesky's decomposition, which replaces the matrix; ln of its determinant.
 * @param {number[][]} matrix
 * @param {number[][]} columns
 */
function forward(matrix, columns) {
  let logDeterminant = 0;
  const solved = columns.map((column) => [...column]);
  for (const [row, line] of matrix.entries()) {
    for (let col = 0; col <= row; col += 1) {
      const other = matrix[col] ?? [];
      let sum = line[col] ?? 0;
      for (let k = 0; k < col; k += 1) sum -= (line[k] ?? 0) * (other[k] ?? 0);
      line[col] = col === row ? Math.sqrt(sum) : sum / (other[col] ?? 1);
    }
    const pivot = line[row] ?? 1;
    logDeterminant += 2 * Math.log(pivot);
    for (const column of solved) {
      let sum = column[row] ?? 0;
      for (let k = 0; k < row; k += 1) sum -= (line[k] ?? 0) * (column[k] ?? 0);
      column[row] = sum / pivot;
    }
  }
  return { logDeterminant, solved };
}

function dot(/** @type {number[]} */ a, /** @type {number[]} */ b) {
  return a.reduce((sum, value, place) => sum + value * (b[place] ?? 0), 0);
}

/**
 * Each normal written as narrow ones, each weighed by the wearers with limits at its centre and tilted by their slope.
 * @param {Given[]} grid
 * @param {Joint[]} limited
 */
function withLimits(grid, limited) {
  const [narrow, places] = [LEVELS.narrow, LEVELS.places];
  const gap = (2 * LEVELS.places_end) / (places - 1);
  const steps = Array.from({ length: places }, (_, place) => place - Math.floor(places / 2));
  const spaced = grid.map(({ sd }) => sd * Math.sqrt(1 - narrow ** 2) * gap);
  const at = grid.map(({ centre }, row) => steps.map((step) => centre + (spaced[row] ?? 0) * step));
  const logs = logSpread(limited, at, grid.map(({ tau }) => tau));
  const found = grid.flatMap(({ tau, sd, logWeight }, row) => {
    const [log = [], width, step] = [logs[row], narrow * sd, spaced[row] ?? 1];
    const slopes = gradient(log, step);
    const bends = gradient(slopes, step);
    return log.map((value, place) => {
      const [slope = 0, bend = 0] = [slopes[place], Math.min(bends[place] ?? 0, 0)];
      const left = 1 - width ** 2 * bend;
      const untilted = logWeight - 0.5 * (gap * (steps[place] ?? 0)) ** 2 + value;
      const tilted = untilted + (0.5 * width ** 2 * slope ** 2) / left - 0.5 * Math.log(left);
      const mean = (at[row]?.[place] ?? 0) + (width ** 2 * slope) / left;
      return { tau, mean, sd: width / Math.sqrt(left), untilted, logWeight: tilted };
    });
  });
  // Far out, where the likelihood has all but vanished, its slope means nothing.
  const highest = found.reduce((most, { untilted }) => Math.max(most, untilted), -Infinity);
  return mixed(found.filter(({ untilted }) => untilted > highest - LEVELS.farthest));
}

/**
 * @param {{tau: number, mean: number, sd: number, logWeight: number}[]} parts
 * @returns {Pooled}
 */
function mixed(parts) {
  const highest = parts.reduce((most, { logWeight }) => Math.max(most, logWeight), -Infinity);
  const weights = parts.map(({ logWeight }) => Math.exp(logWeight - highest));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const weighed = parts.map((part, place) => ({ ...part, weight: (weights[place] ?? 0) / total }));
  const kept = weighed.filter(({ weight }) => weight > 1e-12);
  const left = kept.reduce((sum, { weight }) => sum + weight, 0);
  return {
    mean: kept.map(({ weight, mean, sd }) => ({ weight: weight / left, mean, sd })),
    fresh: kept.map(({ weight, mean, sd, tau }) => ({ weight: weight / left, mean, sd: Math.sqrt(sd * sd + tau * tau) })),
    tau: weighed.reduce((sum, { weight, tau }) => sum + weight * tau, 0),
  };
}

/** Slopes of values that stand a step apart. */
function gradient(/** @type {number[]} */ values, /** @type {number} */ step) {
  return values.map((_, place) => {
    const [before, after] = [Math.max(0, place - 1), Math.min(values.length - 1, place + 1)];
    return ((values[after] ?? 0) - (values[before] ?? 0)) / ((after - before) * step);
  });
}

/**
 * Sum of the wearers' log likelihoods at each mean effect, each spread by τ and by what it has beyond donnings.
 * @param {Joint[]} limited
 * @param {number[][]} at mean effects, for each τ
 * @param {number[]} taus
 */
function logSpread(limited, at, taus) {
  const apart = limited.map(withoutExtra);
  const sums = at.map((row) => row.map(() => 0));
  for (const extra of new Set(apart.map(([, own]) => own))) {
    const alike = apart.filter(([, own]) => own === extra).map(([joint]) => joint);
    const spread = spreadAlike(alike);
    for (const [row, tau] of taus.entries()) {
      const line = sums[row] ?? [];
      for (const [place, value] of spread(at[row] ?? [], Math.sqrt(tau * tau + extra)).entries()) {
        line[place] = (line[place] ?? 0) + value;
      }
    }
  }
  return sums;
}

/** For wearers whose likelihoods are spread alike: the sum of their logs at some places, spread by a normal. */
function spreadAlike(/** @type {Joint[]} */ limited) {
  const ends = limited.map(endsOf);
  const [low, high] = [Math.min(...ends.map(([end]) => end)), Math.max(...ends.map(([, end]) => end))];
  const narrowest = Math.sqrt(Math.min(...limited.map(narrowestOf)));
  const [widest, closest] = [LEVELS.widest_stride, LEVELS.narrowest_step];
  const step = Math.min(LEVELS.limit_step, 0.5 * narrowest);
  const count = widest * Math.ceil((high - low) / step / widest) + 1;
  const grid = Array.from({ length: count }, (_, place) => low + step * place);
  const logs = limited.map((one) => logLikelihood(one, grid));
  const tops = logs.map((log) => log.reduce((most, value) => Math.max(most, value), -Infinity));
  const likelihoods = logs.map((log, row) => log.map((value) => Math.exp(value - (tops[row] ?? 0))));
  const last = count - 1;

  return (/** @type {number[]} */ places, /** @type {number} */ spread) => {
    if (spread === 0) {
      const exact = limited.map((one, row) => logLikelihood(one, places).map((value) => value - (tops[row] ?? 0)));
      return places.map((_, place) => exact.reduce((sum, log) => sum + (log[place] ?? 0), 0));
    }
    let stride = 1;
    while (2 * stride <= widest && 2 * stride * step <= closest / Math.sqrt(spread ** -2 + narrowest ** -2)) stride *= 2;
    const height = (stride * step) / spread / Math.sqrt(2 * Math.PI);
    const slope = (stride * step) / spread ** 2 / 12;
    return places.map((at) => {
      const sums = likelihoods.map(() => 0);
      for (let place = 0; place <= last; place += stride) {
        const away = ((grid[place] ?? 0) - at) / spread;
        let weight = height * Math.exp(-0.5 * away * away);
        // The likelihood goes on beyond the ends, so the trapezoid rule needs its term for the slope there.
        if (place === 0) weight = weight * (0.5 - slope * away * spread) + normalBelow(away);
        else if (place === last) weight = weight * (0.5 + slope * away * spread) + normalBelow(-away);
        for (const [row, likelihood] of likelihoods.entries()) sums[row] = (sums[row] ?? 0) + weight * (likelihood[place] ?? 0);
      }
      return sums.reduce((sum, value) => sum + Math.log(Math.max(value, 1e-300)), 0);
    });
  };
}
