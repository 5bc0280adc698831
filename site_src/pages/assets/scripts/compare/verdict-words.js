// What a comparison says, in sentences: the very ones that `sealbook compare` prints.
import { figure, plural } from "../common/figures.js";

/**
 * @typedef {import("../statistics/contrasts.js").Comparison} Comparison
 * @typedef {import("../statistics/contrasts.js").Contrast} Contrast
 * @typedef {import("../statistics/verdicts.js").Judgement} Judgement
 * @typedef {import("./measured.js").Configuration} Configuration
 */

const LIMIT = { at_least: "at least", at_most: "at most" };
const NOBODY_BOTH = "Nobody tried both on the same face: faces differ, and so the difference may be theirs.";

/**
 * Names a configuration within a sentence: the mask only where the other one is a different mask.
 * @param {Configuration} configuration
 * @param {Configuration} beside
 */
export function setUpPhrase(configuration, beside) {
  const phrase = configuration.sold ? configuration.change : `with ${configuration.change}`;
  return configuration.mask === beside.mask ? phrase : `in ${configuration.maskLabel} ${phrase}`;
}

/**
 * What is known of B beside A, both named as by `setUpPhrase`.
 * @param {Comparison} found
 * @param {string} a
 * @param {string} b
 */
export function verdictSentence(found, a, b) {
  const further = found.same_wearers ? furtherSentence(found) : NOBODY_BOTH;
  return `${judgementSentence(found, a, b)} ${further}`.trimEnd();
}

function judgementSentence(/** @type {Comparison} */ found, /** @type {string} */ a, /** @type {string} */ b) {
  const who = whoTried(found);
  if (found.ratio === null) return `Cannot tell: readings of “at least” leave the ratio open ${who}.`;
  const interval90 = between(found.low90, found.high90);
  if (found.verdict === "alike") {
    const within = `${times(found.ratio)}, 90 % interval ${interval90}`;
    return `Alike: ${b} and ${a} the fit factor was much the same (${within}) ${who}.`;
  }
  const ratio = `${LIMIT[found.bound] ?? "about"} ${figure(found.ratio)} times`;
  if (found.verdict === "cannot-tell") {
    const said = `${b} the fit factor was ${ratio} what it was ${a} ${who}`;
    return `Cannot tell: ${said}, but ${interval90} fits these tests too (90 %).`;
  }
  const clear = found.verdict === "clear";
  const how = found.direction === "b-higher" ? `${ratio} as high` : `lower, ${ratio} what it was ${a}`;
  const interval = clear ? `99 % interval ${between(found.low99, found.high99)}` : `90 % interval ${interval90}`;
  return `${clear ? "Clear" : "Likely"}: ${b} the fit factor was ${how} (${interval}) ${who}.`;
}

/** What would tell more, where nobody can tell; otherwise how little few wearers tell. */
function furtherSentence(/** @type {Comparison} */ found) {
  if (found.verdict !== "cannot-tell") return smallN(wearersOf(found));
  if (found.bound !== "none") return "";
  const needed = found.donnings_needed;
  if (needed === null) return "More wearers would tell more than more donnings of these.";
  if (needed === 0) return "A doubling would most likely have shown.";
  const each = found.pooled > 1 ? "of each by each wearer" : "of each";
  return `About ${plural(needed, "more donning")} ${each} would show a doubling.`;
}

/**
 * What to expect on a new face; "" where too few wearers tried both.
 * @param {Comparison} found
 */
export function predictionSentence(found) {
  if (found.predict_low95 === null && found.predict_high95 === null) return "";
  return `On a new face expect ${between(found.predict_low95, found.predict_high95)} (95 %).`;
}

/**
 * How many wearers tried only one of the two; "" for none.
 * @param {Comparison} found
 * @param {string} a
 * @param {string} b
 */
export function onlySentence(found, a, b) {
  const oneSided = [
    [found.only_a, a],
    [found.only_b, b],
  ];
  const said = oneSided.filter(([n]) => n > 0).map(([n, phrase]) => `only ${phrase}: ${plural(n, "wearer")}`);
  return said.length ? `Tested ${said.join("; ")}.` : "";
}

/**
 * A verdict on B beside A in a few words.
 * @param {Judgement} judged
 */
export function verdictWords(judged) {
  if (judged.verdict === "alike") return "about the same";
  if (judged.verdict === "cannot-tell") return "cannot tell";
  return `${judged.verdict === "clear" ? "clearly" : "likely"} ${judged.direction === "b-higher" ? "higher" : "lower"}`;
}

/**
 * A ratio, marked where it is a limit: "≥ ×2.1"; "–" for none.
 * @param {Judgement} judged
 */
export function ratioLabel(judged) {
  return ({ at_least: "≥\u202f", at_most: "≤\u202f" }[judged.bound] ?? "") + times(judged.ratio);
}

/**
 * An interval of ratios, open where nothing bounds it.
 * @param {number | null} low
 * @param {number | null} high
 */
export function between(low, high) {
  if (low === null && high === null) return "unbounded";
  if (high === null) return `${times(low)} or more`;
  if (low === null) return `${times(high)} or less`;
  return `${times(low)} to ${times(high)}`;
}

/**
 * Names a wearer, and the facial hair where there was some.
 * @param {Contrast} contrast
 * @param {Record<string, string>} hairLabels
 */
export function wearerLabel(contrast, hairLabels) {
  if (contrast.facial_hair === "none") return contrast.wearer;
  return `${contrast.wearer} (${hairLabels[contrast.facial_hair].toLowerCase()})`;
}

/**
 * What the intervals rest on.
 * @param {import("../statistics/contrasts.js").Scatter} scatter
 */
export function scatterSentence(scatter) {
  const gsd = figure(Math.exp(Math.sqrt(scatter.prior_variance)));
  return scatter.planned
    ? `Too few repeats to know how far donnings differ: the intervals rest on a planning value, a GSD of ${gsd}.`
    : `Over all tests here, donnings of one wearer in one configuration differ by a GSD of ${gsd}. ` +
        "The intervals rest on that and on the wearer's own repeats.";
}

function times(/** @type {number | null} */ ratio) {
  return ratio === null ? "–" : `×${figure(ratio)}`;
}

function whoTried(/** @type {Comparison} */ found) {
  if (!found.same_wearers) return "on different faces";
  return `on ${plural(wearersOf(found), "wearer")} who tried both`;
}

function wearersOf(/** @type {Comparison} */ found) {
  return new Set(found.wearers.map((c) => c.wearer)).size;
}

function smallN(/** @type {number} */ wearers) {
  if (wearers === 1) return "One face only: another may get another result.";
  return wearers < 5 ? `Only ${wearers} faces: a start, no more.` : "";
}
