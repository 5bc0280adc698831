// What a comparison says, in sentences: the ones that `sealbook compare` chooses (builder/words/comparisons.py).
import { between, figure, times } from "../common/figures.js";
import { count, say, within } from "../common/say.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("../statistics/contrasts.js").Comparison} Comparison
 * @typedef {import("../statistics/contrasts.js").Contrast} Contrast
 * @typedef {import("../statistics/verdicts.js").Judgement} Judgement
 * @typedef {import("./measured.js").Configuration} Configuration
 */

/**
 * Names a configuration within a sentence: the mask only where the other one is a different mask.
 * @param {Configuration} configuration
 * @param {Configuration} beside
 */
export function setUpPhrase(configuration, beside) {
  const { change, mask, maskLabel, sold } = configuration;
  const phrase = sold ? change : say("set_up.changed", { change });
  return mask === beside.mask ? phrase : say("set_up.other_mask", { mask: maskLabel, set_up: phrase });
}

/**
 * What is known of B beside A, both named as by `setUpPhrase`.
 * @param {Comparison} found
 * @param {string} a
 * @param {string} b
 */
export function verdictSentence(found, a, b) {
  const further = found.same_wearers ? furtherSentence(found) : say("verdict.nobody_both");
  return `${judgementSentence(found, a, b)} ${further}`.trimEnd();
}

function judgementSentence(/** @type {Comparison} */ found, /** @type {string} */ a, /** @type {string} */ b) {
  const who = whoTried(found);
  if (found.ratio === null) return say("verdict.open", { who });
  const interval = between(found.low90, found.high90);
  if (found.verdict === "alike") return say("verdict.alike", { a, b, ratio: times(found.ratio), interval, who });
  const ratio = ratioWords(found.ratio, found.bound);
  if (found.verdict === "cannot-tell") return say("verdict.cannot_tell", { a, b, ratio, interval, who });
  return differenceSentence(found, ratio, a, b);
}

/**
 * @param {Comparison} found
 * @param {string} ratio
 * @param {string} a
 * @param {string} b
 */
function differenceSentence(found, ratio, a, b) {
  const clear = found.verdict === "clear";
  const interval = clear ? between(found.low99, found.high99) : between(found.low90, found.high90);
  const filled = { b, ratio, interval, who: whoTried(found) };
  if (found.direction === "b-higher") return say(clear ? "verdict.clear_higher" : "verdict.likely_higher", filled);
  return say(clear ? "verdict.clear_lower" : "verdict.likely_lower", { a, ...filled });
}

/** What would tell more, where nobody can tell; otherwise how little few wearers tell. */
function furtherSentence(/** @type {Comparison} */ found) {
  if (found.verdict !== "cannot-tell") return smallN(wearersOf(found));
  if (found.bound !== "none") return "";
  const needed = found.donnings_needed;
  if (needed === null) return say("verdict.wearers_tell");
  const seen = seenSentence(found);
  if (needed === 0) return `${say("verdict.would_have_shown")} ${seen}`.trimEnd();
  const donnings = count("more_donning", needed);
  return `${say(found.pooled > 1 ? "verdict.donnings_each_tell" : "verdict.donnings_tell", { donnings })} ${seen}`.trimEnd();
}

/** What the difference actually seen would take; "" where it is none. */
function seenSentence(/** @type {Comparison} */ found) {
  if (found.ratio === 1) return "";
  if (found.donnings_for_seen === null) return say("verdict.seen_too_many");
  const donnings = count("more_donning", found.donnings_for_seen);
  return say(found.pooled > 1 ? "verdict.seen_each_tell" : "verdict.seen_tell", { donnings });
}

/**
 * How it was measured, what draws the ratio, what to expect on a new face and who tried one; "" for nothing.
 * @param {Comparison} found
 * @param {string} a
 * @param {string} b
 */
export function furtherSentences(found, a, b) {
  return [measuredSentence(found), shrunkSentence(found), predictionSentence(found), onlySentence(found, a, b)];
}

/**
 * How many wearers were measured alike, and what was taken out for the rest; "" where nothing needs saying.
 * @param {Comparison} found
 */
export function measuredSentence(found) {
  const { method_adjustment: adjustment, wearers_same_method: same, wearers_mixed_method: mixed } = found;
  const taken =
    adjustment &&
    say("measured.taken_out", { factor: times(adjustment.factor), interval: between(adjustment.low90, adjustment.high90) });
  if (!found.same_wearers) return taken ? say("measured.other_faces", { taken }) : "";
  if (mixed === 0) return say("measured.alike", { wearers: count("wearer", same) });
  if (!taken) return say("measured.nothing_told", { wearers: count("wearer", mixed) });
  if (same === 0) return say("measured.differently", { wearers: count("wearer", mixed), taken });
  return say("measured.some_alike", { alike: count("wearer", same), others: count("wearer", mixed), taken });
}

/**
 * That the ratio is drawn towards 1, where few wearers stand behind it; "" otherwise.
 * @param {Comparison} found
 */
export function shrunkSentence(found) {
  const few = found.pooled > 1 && found.pooled < LEVELS.few_faces;
  if (found.ratio === null || found.bound !== "none" || !few) return "";
  return say("verdict.shrunk", { wearers: count("wearer", found.pooled) });
}

/**
 * What to expect on a new face; "" where too few wearers tried both.
 * @param {Comparison} found
 */
function predictionSentence(found) {
  if (found.predict_low95 === null && found.predict_high95 === null) return "";
  return say("verdict.prediction", { interval: between(found.predict_low95, found.predict_high95) });
}

/**
 * How many wearers tried only one of the two; "" for none.
 * @param {Comparison} found
 * @param {string} a
 * @param {string} b
 */
function onlySentence(found, a, b) {
  const oneSided = [
    { n: found.only_a, set_up: a },
    { n: found.only_b, set_up: b },
  ].filter(({ n }) => n > 0);
  const only = oneSided.map(({ n, set_up }) => say("verdict.only", { set_up, wearers: count("wearer", n) })).join("; ");
  return only && say("verdict.tested", { only });
}

/**
 * A verdict on B beside A in a few words.
 * @param {Judgement} judged
 */
export function verdictWords(judged) {
  if (judged.verdict === "alike") return say("verdict_words.alike");
  if (judged.verdict === "cannot-tell") return say("verdict_words.cannot_tell");
  const higher = judged.direction === "b-higher";
  if (judged.verdict === "clear") return say(higher ? "verdict_words.clear_higher" : "verdict_words.clear_lower");
  return say(higher ? "verdict_words.likely_higher" : "verdict_words.likely_lower");
}

/**
 * A ratio, marked where it is a limit: "≥ ×2.1"; "–" for none.
 * @param {Judgement} judged
 */
export function ratioLabel(judged) {
  const ratio = times(judged.ratio);
  if (judged.bound === "at_least") return say("figure.at_least", { figure: ratio });
  return judged.bound === "at_most" ? say("figure.at_most", { figure: ratio }) : ratio;
}

/**
 * Names a wearer, and the facial hair where there was some.
 * @param {Contrast} contrast
 * @param {Record<string, string>} hairLabels
 */
export function wearerLabel(contrast, hairLabels) {
  if (contrast.facial_hair === "none") return contrast.wearer;
  const hair = within(hairLabels[contrast.facial_hair] ?? contrast.facial_hair);
  return say("label.wearer_with_hair", { wearer: contrast.wearer, hair });
}

/**
 * What the intervals rest on.
 * @param {Published.Scatter} scatter
 */
export function scatterSentence(scatter) {
  const gsd = figure(Math.exp(Math.sqrt(scatter.variance)));
  return scatter.planned ? say("compare.scatter_planned", { gsd }) : say("compare.scatter", { gsd });
}

/** How many times as high, within a sentence. */
function ratioWords(/** @type {number} */ value, /** @type {Judgement["bound"]} */ bound) {
  const ratio = figure(value);
  if (bound === "at_least") return say("ratio.at_least", { ratio });
  return say(bound === "at_most" ? "ratio.at_most" : "ratio.about", { ratio });
}

function whoTried(/** @type {Comparison} */ found) {
  if (!found.same_wearers) return say("verdict.other_wearers");
  return say("verdict.same_wearers", { wearers: count("tried_both", wearersOf(found)) });
}

function wearersOf(/** @type {Comparison} */ found) {
  return new Set(found.wearers.map((c) => c.wearer)).size;
}

/** How little few wearers tell; "" from five on. At least one has tried both. */
function smallN(/** @type {number} */ wearers) {
  if (wearers === 1) return say("small_n.one");
  return wearers < LEVELS.few_faces ? say("small_n.few", { wearers }) : "";
}
