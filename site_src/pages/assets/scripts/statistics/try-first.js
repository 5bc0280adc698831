// What one reader should try first, and which single test would tell most about them.
import { normalBelow, normalQuantile } from "./distributions.js";
import { jointCovariance } from "./own-results.js";
import { at, dot, times } from "./small-matrices.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./own-results.js").Informed} Informed
 * @typedef {import("./own-results.js").InformedOutlook} InformedOutlook
 *
 * @typedef {{place: number, chance: number, soFar: number}} Suggestion
 *   `soFar` is the chance that this one or an earlier one passes
 */

/** Those with the highest chances, among which the list is looked for: as many as the builder takes. */
const CANDIDATES = 60;

/** Directions that what a test would tell goes through: the first hold nearly all that masks share. */
const DIRECTIONS = 24;

/** Nodes and weights of the Gauss–Legendre rule on 0 to 1 (Abramowitz & Stegun 25.4.29), found by Newton's method. */
const RULE = gaussLegendre(16);

/**
 * The list of three most likely to hold one that passes. Each next one is the best given that those before it failed,
 * for one person's fits move together; the builder draws at random what is integrated here.
 * @param {Informed} informed
 * @param {number[]} among places of the configurations to choose from
 * @returns {Suggestion[]}
 */
export function tryFirst(informed, among) {
  const { chance } = informed;
  const candidates = [...among].sort((a, b) => at(chance, b) - at(chance, a) || a - b).slice(0, CANDIDATES);
  const first = candidates[0];
  if (first === undefined) return [];
  const list = [{ place: first, chance: at(chance, first), soFar: at(chance, first) }];
  while (list.length < 3 && list.length < candidates.length) {
    const chosen = list.map(({ place }) => place);
    const failing = informed.outlooks.map((one) => failingNodes(informed, one, chosen));
    let best = { place: -1, gain: -1 };
    for (const place of candidates) {
      if (chosen.includes(place)) continue;
      const gain = informed.outlooks.reduce((sum, one, k) => sum + one.weight * passing(informed, one, at(failing, k), place), 0);
      if (gain > best.gain) best = { place, gain };
    }
    const soFar = at(list, list.length - 1).soFar + best.gain;
    list.push({ place: best.place, chance: at(chance, best.place), soFar });
  }
  return list;
}

/**
 * @typedef {object} Failing Readings of the chosen that fail, as nodes with weights.
 * @property {number[]} chosen
 * @property {number[][]} away at each node, of each reading from its mean
 * @property {number[]} weight they add up to the chance that all fail
 * @property {number[][]} variance of the readings
 */

/**
 * @param {Informed} informed
 * @param {InformedOutlook} one
 * @param {number[]} chosen one or two
 * @returns {Failing}
 */
function failingNodes({ model }, one, chosen) {
  const variance = chosen.map((a, i) =>
    chosen.map((b, j) => jointCovariance(one, model, a, b) + (i === j ? one.outlook.donning : 0)),
  );
  const limits = chosen.map((place) => Math.log(LEVELS.pass_level) - at(one.mean, place));
  const [firstVariance, shared] = [at(at(variance, 0), 0), variance[0]?.[1] ?? 0];
  const outer = below(0, firstVariance, at(limits, 0));
  if (chosen.length === 1) return { chosen, variance, away: outer.map(({ y }) => [y]), weight: outer.map(({ w }) => w) };
  const left = at(at(variance, 1), 1) - shared ** 2 / firstVariance;
  const nodes = outer.flatMap(({ y, w }) =>
    below((shared / firstVariance) * y, left, at(limits, 1)).map((inner) => ({ away: [y, inner.y], w: w * inner.w })),
  );
  return { chosen, variance, away: nodes.map(({ away }) => away), weight: nodes.map(({ w }) => w) };
}

/** Nodes of a normal variable below a limit; their weights add up to the chance of that. */
function below(/** @type {number} */ mean, /** @type {number} */ variance, /** @type {number} */ limit) {
  const sd = Math.sqrt(variance);
  const chance = normalBelow((limit - mean) / sd);
  return RULE.map(({ x, w }) => ({ y: mean + sd * normalQuantile(x * chance), w: w * chance }));
}

/** The chance that the chosen fail and another configuration passes. */
function passing(
  /** @type {Informed} */ { model },
  /** @type {InformedOutlook} */ one,
  /** @type {Failing} */ { chosen, variance, away, weight },
  /** @type {number} */ place,
) {
  const shared = chosen.map((other) => jointCovariance(one, model, place, other));
  const slope = solved(variance, shared);
  const left = at(one.known, place) + at(one.own, place) + one.outlook.donning - dot(slope, shared);
  const over = at(one.mean, place) - Math.log(LEVELS.pass_level);
  const sd = Math.sqrt(left);
  return weight.reduce((sum, w, node) => sum + w * normalBelow((over + dot(slope, at(away, node))) / sd), 0);
}

/** Solves one or two equations. */
function solved(/** @type {number[][]} */ [a, b], /** @type {number[]} */ [x = 0, y = 0]) {
  if (!a) return [];
  if (!b) return [x / at(a, 0)];
  const determinant = at(a, 0) * at(b, 1) - at(a, 1) * at(b, 0);
  return [(x * at(b, 1) - y * at(a, 1)) / determinant, (y * at(a, 0) - x * at(b, 0)) / determinant];
}

/**
 * How much one fit factor measured in each of some configurations would tell: the mean square by which it is expected
 * to move the chances of all, these taken as linear in the true values. It is Σⱼ (sⱼ Cov(j, c))² / v_c, with s the
 * slopes of the chances and v the variance of a reading; the sum over j goes through all products of loadings at once.
 * @param {Informed} informed
 * @param {number[]} among places of the configurations
 * @returns {number[]} in their order
 */
export function telling(informed, among) {
  const { model, outlooks } = informed;
  const each = outlooks.map((one) => tellingOf(model, one, among).map((told) => one.weight * told));
  return among.map((_, k) => each.reduce((sum, told) => sum + at(told, k), 0));
}

/**
 * @param {import("./own-results.js").Model} model
 * @param {InformedOutlook} one
 * @param {number[]} among
 */
function tellingOf(model, one, among) {
  const { outlook, mean, known, own } = one;
  const { mask } = model.published.catalogue;
  const limit = Math.log(LEVELS.pass_level);
  const variance = mean.map((_, c) => at(known, c) + at(own, c) + outlook.donning);
  const square = mean.map((middle, c) => {
    const v = at(variance, c);
    return Math.exp(-((middle - limit) ** 2) / v) / (2 * Math.PI * v);
  });
  const { left, right, width } = factors(model, one);
  const squares = weighedSquares(left, square, width);
  return among.map((c) => {
    const row = right.subarray(c * width, (c + 1) * width);
    let sum = 0;
    for (let i = 0; i < width; i += 1) {
      let through = 0.5 * at(squares, i * width + i) * at(row, i);
      for (let j = 0; j < i; j += 1) through += at(squares, i * width + j) * at(row, j);
      sum += 2 * at(row, i) * through;
    }
    for (const other of at(model.members, at(mask, c))) {
      let through = 0;
      for (let i = 0; i < width; i += 1) through += at(left, other * width + i) * at(row, i);
      sum += at(square, other) * (jointCovariance(one, model, other, c) ** 2 - through ** 2);
    }
    return sum / at(variance, c);
  });
}

/** The weighed sum of each row times itself, below the diagonal and on it. */
function weighedSquares(/** @type {Float64Array} */ rows, /** @type {Float64Array} */ weight, /** @type {number} */ width) {
  const sums = new Float64Array(width * width);
  for (let c = 0; c < weight.length; c += 1) {
    const first = c * width;
    for (let i = 0; i < width; i += 1) {
      const scaled = at(weight, c) * at(rows, first + i);
      if (scaled === 0) continue;
      const place = i * width;
      for (let j = 0; j <= i; j += 1) sums[place + j] = at(sums, place + j) + scaled * at(rows, first + j);
    }
  }
  return sums;
}

/** Two loadings of each configuration whose products are the covariances of those of different masks. */
function factors(/** @type {import("./own-results.js").Model} */ model, /** @type {InformedOutlook} */ one) {
  const { outlook, across, taken } = one;
  const { mask, style, styles } = model.published.catalogue;
  const { r } = outlook.posterior;
  const answers = taken.length;
  const count = outlook.mean.length;
  const directions = Math.min(r, DIRECTIONS);
  const width = directions + 1 + styles.length + answers;
  const [left, right] = [new Float64Array(count * width), new Float64Array(count * width)];
  for (let c = 0; c < count; c += 1) {
    const ofStyle = directions + 1 + at(style, at(mask, c));
    const shared = outlook.loading.subarray(c * r, c * r + directions);
    for (const side of [left, right]) {
      side.set(shared, c * width);
      side[c * width + directions] = Math.sqrt(outlook.common);
      side[c * width + ofStyle] = Math.sqrt(outlook.sameStyle);
    }
    const row = [...across.subarray(c * answers, (c + 1) * answers)];
    left.set(row, c * width + directions + 1 + styles.length);
    const off = times(taken, row).map((value) => -value);
    right.set(off, c * width + directions + 1 + styles.length);
  }
  return { left, right, width };
}

function gaussLegendre(/** @type {number} */ count) {
  return Array.from({ length: count }, (_, i) => {
    let x = Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 1;
    for (let step = 0; step < 8; step += 1) {
      let [before, now] = [1, x];
      for (let n = 2; n <= count; n += 1) [before, now] = [now, ((2 * n - 1) * x * now - (n - 1) * before) / n];
      slope = (count * (x * now - before)) / (x * x - 1);
      x -= now / slope;
    }
    return { x: (1 - x) / 2, w: 1 / ((1 - x * x) * slope ** 2) };
  });
}
