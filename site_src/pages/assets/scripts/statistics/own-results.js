// Chances of every configuration on one face, given what somebody told of masks on it: the module that pages use.
import { normalBelow, normalQuantile } from "./distributions.js";
import { outlooksOn, unlisted } from "./face-model.js";
import { settle } from "./propagated-sites.js";
import { at, dot, gain, matrix, times } from "./small-matrices.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./face-model.js").Face} Face
 * @typedef {import("./face-model.js").Model} Model
 * @typedef {import("./face-model.js").Outlook} Outlook
 * @typedef {import("./propagated-sites.js").Site} Site
 * @typedef {import("./small-matrices.js").Matrix} Matrix
 *
 * @typedef {object} Told How one donning of a mask came out.
 * @property {string} [configuration] its id, where the model has it
 * @property {string} [style] else its style, which is all that is known of it
 * @property {"fit-factor" | "at-least" | "passed" | "failed" | "leaks"} outcome
 * @property {number} [fitFactor] 1 or more
 * @property {string} [kind] of fit test that was passed or failed: "quantitative" (as without), "taste" or "smell"
 * @property {Partial<Published.MeasuringMethod>} [method] how a fit factor was measured, as far as not by the method of
 *   reference
 *
 * @typedef {object} InformedOutlook An outlook with answers taken in.
 * @property {Outlook} outlook as it was before
 * @property {number} weight how well it expected the answers, among all posteriors
 * @property {Float64Array} mean (C)
 * @property {Float64Array} known (C)
 * @property {Float64Array} own (C)
 * @property {Float64Array} across covariance with the answers' true values before (C × answers)
 * @property {Matrix} taken what the answers take off the joint covariance is across · taken · across′
 *
 * @typedef {object} Informed What to expect of one reader; lists go by the places of the model's configurations.
 * @property {Model} model
 * @property {InformedOutlook[]} outlooks
 * @property {Float64Array} chance that one donning passes
 * @property {Float64Array} before what the chance was before anything was told
 * @property {Float64Array} low 90 % interval of the chance, about people with this face and these answers
 * @property {Float64Array} high
 * @property {Float64Array} ownLow 90 % interval of the chance of this one reader
 * @property {Float64Array} ownHigh
 * @property {Float64Array} fitFactor expected (median)
 * @property {Float64Array} fitLow where 90 % of the reader's single donnings fall
 * @property {Float64Array} fitHigh
 */

/**
 * Takes what was told, be it nothing, into what the model expects on a face. The order does not matter.
 * @param {Model} model
 * @param {Face} face
 * @param {Told[]} told
 * @returns {Informed}
 */
export function inform(model, face, told) {
  const { face: embedding, outlooks } = outlooksOn(model, face);
  const sites = told.map((one) => siteOf(model, one));
  const methods = methodsOf(model, told);
  const found = outlooks.map((outlook) => {
    const targets = told.map((one) => targetOf(model, outlook, embedding, one));
    return take(model, outlook, targets, sites, methods);
  });
  const heights = found.map(({ informed, logEvidence }) => logEvidence + Math.log(informed.outlook.posterior.weight));
  const highest = Math.max(...heights);
  const weights = heights.map((height) => Math.exp(height - highest));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mixed = found.map((one, k) => ({ ...one.informed, weight: at(weights, k) / total }));
  return { model, outlooks: mixed, ...figures(mixed) };
}

/** Half of the interval around a prediction, in standard deviations. */
const HALF_WIDTH = normalQuantile((1 + LEVELS.predicted_level) / 2);

/** Figures of the mixture. */
function figures(/** @type {InformedOutlook[]} */ outlooks) {
  const count = at(outlooks, 0).mean.length;
  const empty = () => new Float64Array(count);
  const found = {
    chance: empty(),
    before: empty(),
    low: empty(),
    high: empty(),
    ownLow: empty(),
    ownHigh: empty(),
    fitFactor: empty(),
    fitLow: empty(),
    fitHigh: empty(),
  };
  const limit = Math.log(LEVELS.pass_level);
  for (let c = 0; c < count; c += 1) {
    let [mean, square, known, own, donning, chance, before] = [0, 0, 0, 0, 0, 0, 0];
    for (const one of outlooks) {
      const { weight, outlook } = one;
      const [middle, variance] = [at(one.mean, c), at(one.known, c) + at(one.own, c)];
      mean += weight * middle;
      square += weight * middle ** 2;
      known += weight * at(one.known, c);
      own += weight * at(one.own, c);
      donning += weight * outlook.donning;
      chance += weight * normalBelow((middle - limit) / Math.sqrt(variance + outlook.donning));
      const spreadBefore = Math.sqrt(at(outlook.known, c) + outlook.own + outlook.donning);
      before += outlook.posterior.weight * normalBelow((at(outlook.mean, c) - limit) / spreadBefore);
    }
    known += Math.max(0, square - mean ** 2);
    const reach = HALF_WIDTH * Math.sqrt(known);
    const ownReach = HALF_WIDTH * Math.sqrt(known + own);
    const wide = HALF_WIDTH * Math.sqrt(known + own + donning);
    const spread = Math.sqrt(own + donning);
    found.chance[c] = chance;
    found.before[c] = before;
    found.low[c] = normalBelow((mean - reach - limit) / spread);
    found.high[c] = normalBelow((mean + reach - limit) / spread);
    found.ownLow[c] = normalBelow((mean - ownReach - limit) / Math.sqrt(donning));
    found.ownHigh[c] = normalBelow((mean + ownReach - limit) / Math.sqrt(donning));
    found.fitFactor[c] = Math.exp(mean);
    found.fitLow[c] = Math.exp(mean - wide);
    found.fitHigh[c] = Math.exp(mean + wide);
  }
  return found;
}

/**
 * The likelihood of an answer.
 * @param {Model} model
 * @param {Told} told
 * @returns {Site}
 */
function siteOf({ published }, { outcome, fitFactor, kind }) {
  const { kinds, leaks } = published.own_results;
  const place = Math.log(Math.max(fitFactor ?? 1, 1));
  if (outcome === "fit-factor") return { side: 0, place, floor: 0, slope: 1 };
  if (outcome === "at-least") return { side: 1, place, floor: 0, slope: 1 };
  if (outcome === "leaks") {
    return { side: -1, place: Math.log(leaks.limit), floor: leaks.wrong, slope: 1 - leaks.wrong };
  }
  const test = kinds[kind ?? "quantitative"];
  if (!test) throw new Error(`${kind}: no such kind of fit test`);
  const slope = 1 - test.wrong_passes - test.wrong_fails;
  const level = Math.log(LEVELS.pass_level);
  if (outcome === "passed") return { side: 1, place: level, floor: test.wrong_passes, slope };
  return { side: -1, place: level, floor: test.wrong_fails, slope };
}

/**
 * What the method of each answer adds to ln fit factor, and the joint covariance of that.
 * @param {Model} model
 * @param {Told[]} told
 * @returns {{shift: number[], covariance: Matrix}}
 */
function methodsOf({ published }, told) {
  const { reference, levels, mean, covariance, person } = published.own_results;
  const ways = told.map(({ method }) => ({ ...reference, ...method }));
  const own = ways.map((way) => (sameWay(way, reference) ? 0 : person ** 2));
  const rows = ways.map((way) =>
    levels.map(([column, level]) => Number(way[column] === level) - Number(reference[column] === level)),
  );
  return {
    shift: rows.map((row) => dot(row, mean)),
    covariance: matrix(told.length, told.length, (i, j) => {
      const shared = dot(at(rows, i), times(covariance, at(rows, j)));
      // How a method differs on this person is the same for all that they measured with it.
      return shared + (sameWay(at(ways, i), at(ways, j)) ? at(own, i) : 0);
    }),
  };
}

function sameWay(/** @type {Published.MeasuringMethod} */ a, /** @type {Published.MeasuringMethod} */ b) {
  return a.protocol === b.protocol && a.instrument === b.instrument && a.size_selection === b.size_selection;
}

/**
 * @typedef {object} Target The true value that an answer is about.
 * @property {number} place of the configuration, −1 for a mask that the model does not have
 * @property {number} mask −1 for such a mask, which shares nothing with others but its style
 * @property {number} style
 * @property {number} mean
 * @property {Float64Array} loading
 * @property {number} unknown variance of the mask by itself
 */

/**
 * @param {Model} model
 * @param {Outlook} outlook
 * @param {import("./face-model.js").Embedding} face
 * @param {Told} told
 * @returns {Target}
 */
function targetOf(model, outlook, face, { configuration, style }) {
  const { catalogue } = model.published;
  const { posterior, loading } = outlook;
  if (configuration !== undefined) {
    const place = model.number.get(configuration);
    if (place === undefined) throw new Error(`${configuration}: no such configuration`);
    const mask = at(catalogue.mask, place);
    const own = loading.subarray(place * posterior.r, (place + 1) * posterior.r);
    const unknown = at(posterior.left, place);
    return { place, mask, style: at(catalogue.style, mask), mean: at(outlook.mean, place), loading: own, unknown };
  }
  const known = catalogue.styles.indexOf(style ?? "");
  const found = known < 0 ? catalogue.styles.length : known;
  return { place: -1, mask: -1, style: found, ...unlisted(model, posterior, face, found) };
}

/**
 * Takes answers into one outlook.
 * @param {Model} model
 * @param {Outlook} outlook
 * @param {Target[]} targets
 * @param {Site[]} sites
 * @param {{shift: number[], covariance: Matrix}} methods
 */
function take(model, outlook, targets, sites, methods) {
  const { catalogue } = model.published;
  const { posterior, common, sameStyle, sameMask, alone } = outlook;
  const { r, q } = posterior;
  const [count, answers] = [outlook.mean.length, targets.length];
  const across = new Float64Array(count * answers);
  const ofPerson = new Float64Array(count * answers);
  targets.forEach((target, t) => {
    const twin = target.mask >= 0 ? outlook.ownLoading.subarray(target.place * q, (target.place + 1) * q) : null;
    for (let c = 0; c < count; c += 1) {
      const mask = at(catalogue.mask, c);
      let own = common;
      let known = 0;
      for (let k = 0; k < r; k += 1) known += at(outlook.loading, c * r + k) * at(target.loading, k);
      if (at(catalogue.style, mask) === target.style) own += sameStyle;
      if (mask === target.mask && twin) {
        own += sameMask;
        for (let k = 0; k < q; k += 1) known += at(outlook.ownLoading, c * q + k) * at(twin, k);
      }
      if (c === target.place) {
        own += alone;
        known += at(posterior.left, c);
      }
      ofPerson[c * answers + t] = own;
      across[c * answers + t] = own + known;
    }
  });
  const between = matrix(answers, answers, (i, j) => pair(i, j).own + pair(i, j).known + at(at(methods.covariance, i), j));
  const own = matrix(answers, answers, (i, j) => pair(i, j).own + at(at(methods.covariance, i), j));
  const middle = targets.map(({ mean }, t) => mean + at(methods.shift, t));
  const { precision, weighted, logEvidence } = settle(middle, between, sites, outlook.donning);
  const taken = gain(between, precision);
  const takenOfPerson = gain(own, precision);
  // (K + 1/precision)⁻¹ (location − mean), written so that it holds for a precision of 0 too.
  const away = weighted.map((value, t) => value - at(precision, t) * at(middle, t));
  const back = times(taken, times(between, away));
  const weight = away.map((value, t) => value - at(back, t));

  const informed = {
    outlook,
    mean: new Float64Array(count),
    known: new Float64Array(count),
    own: new Float64Array(count),
    across,
    taken,
  };
  for (let c = 0; c < count; c += 1) {
    const [first, variance] = [c * answers, at(outlook.known, c) + outlook.own];
    const left = Math.max(0, variance - quadratic(taken, across, first));
    const ownLeft = outlook.own - quadratic(takenOfPerson, ofPerson, first);
    informed.own[c] = Math.min(Math.max(0, ownLeft), left);
    informed.known[c] = left - at(informed.own, c);
    let moved = at(outlook.mean, c);
    for (let t = 0; t < answers; t += 1) moved += at(across, first + t) * at(weight, t);
    informed.mean[c] = moved;
  }
  return { informed, logEvidence };

  /** Covariance of the true values of two answers before. */
  function pair(/** @type {number} */ i, /** @type {number} */ j) {
    const [a, b] = [at(targets, i), at(targets, j)];
    const [fromA, fromB] = [a.place * answers + j, b.place * answers + i];
    // The rows of listed configurations have it already.
    if (a.place >= 0) return { own: at(ofPerson, fromA), known: at(across, fromA) - at(ofPerson, fromA) };
    if (b.place >= 0) return { own: at(ofPerson, fromB), known: at(across, fromB) - at(ofPerson, fromB) };
    const one = i === j;
    const style = a.style === b.style ? sameStyle : 0;
    const known = dot([...a.loading], [...b.loading]) + (one ? a.unknown : 0);
    return { own: common + style + (one ? sameMask + alone : 0), known };
  }
}

/** A row of numbers on both sides of a matrix; it stands in `rows` from a place on. */
function quadratic(/** @type {Matrix} */ inner, /** @type {Float64Array} */ rows, /** @type {number} */ first) {
  let sum = 0;
  for (let i = 0; i < inner.length; i += 1) {
    for (let j = 0; j < inner.length; j += 1) sum += at(rows, first + i) * at(at(inner, i), j) * at(rows, first + j);
  }
  return sum;
}

/**
 * Joint covariance of the true values of two configurations, answers taken in.
 * @param {InformedOutlook} informed
 * @param {Model} model
 * @param {number} a
 * @param {number} b
 */
export function jointCovariance({ outlook, across, taken }, model, a, b) {
  const { mask, style } = model.published.catalogue;
  const { posterior, loading, ownLoading } = outlook;
  const { r, q } = posterior;
  const [maskA, maskB, answers] = [at(mask, a), at(mask, b), taken.length];
  let total = outlook.common;
  for (let k = 0; k < r; k += 1) total += at(loading, a * r + k) * at(loading, b * r + k);
  if (at(style, maskA) === at(style, maskB)) total += outlook.sameStyle;
  if (maskA === maskB) {
    total += outlook.sameMask;
    for (let k = 0; k < q; k += 1) total += at(ownLoading, a * q + k) * at(ownLoading, b * q + k);
  }
  if (a === b) total += outlook.alone + at(posterior.left, a);
  for (let i = 0; i < answers; i += 1) {
    for (let j = 0; j < answers; j += 1) total -= at(across, a * answers + i) * at(at(taken, i), j) * at(across, b * answers + j);
  }
  return total;
}
