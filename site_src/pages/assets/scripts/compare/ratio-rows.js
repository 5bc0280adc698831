// The rows of the picture of one comparison: what its wearers say together, what a new face may expect, and each.
import { between } from "../common/figures.js";
import { count, say } from "../common/say.js";
import { ratioLabel, wearerLabel } from "./verdict-words.js";

/**
 * @typedef {"none" | "at_least" | "at_most" | "mean" | "expected"} Kind
 * @typedef {{label: string, figures: string, value: number, low: number | null, high: number | null, kind: Kind}} Row
 *   A limit that does not exist is null; of what is expected only the limits count.
 */

/**
 * @param {import("../statistics/contrasts.js").Comparison} found
 * @param {Record<string, string>} hairLabels
 * @returns {{together: Row[], each: Row[]}} the wearers from the highest ratio on, those without one left out
 */
export function ratioRows(found, hairLabels) {
  const each = found.wearers.flatMap((one) => {
    const label = wearerLabel(one, hairLabels);
    return one.ratio === null ? [] : [{ label, ...figuresOf(one), value: one.ratio, kind: kindOf(one) }];
  });
  each.sort((a, b) => b.value - a.value);
  return { together: together(found), each };
}

/** @returns {Row[]} */
function together(/** @type {import("../statistics/contrasts.js").Comparison} */ found) {
  if (found.ratio === null || found.pooled < 2) return [];
  const { predict_low95: low, predict_high95: high, ratio: value } = found;
  const label = say("ratios.together", { wearers: count("wearer", found.pooled) });
  const kind = kindOf(found);
  return [
    { label, ...figuresOf(found), value, kind: kind === "none" ? "mean" : kind },
    ...(low === null && high === null
      ? []
      : [{ label: say("ratios.new_face"), figures: between(low, high), value, low, high, kind: /** @type {Kind} */ ("expected") }]),
  ];
}

/** @returns {Kind} */
function kindOf(/** @type {import("../statistics/verdicts.js").Judgement} */ { bound }) {
  return bound === "both" ? "none" : bound;
}

function figuresOf(/** @type {import("../statistics/verdicts.js").Judgement} */ judged) {
  return { figures: ratioFigures(judged), low: judged.low90, high: judged.high90 };
}

/** A ratio with its interval. */
export function ratioFigures(/** @type {import("../statistics/verdicts.js").Judgement} */ judged) {
  return say("effect.ratio", { ratio: ratioLabel(judged), interval: between(judged.low90, judged.high90) });
}
