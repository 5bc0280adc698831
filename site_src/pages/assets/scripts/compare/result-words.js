// What the compare page says around its verdicts: headings, columns, cautions.
import { between } from "../common/figures.js";
import { count, pieces, say } from "../common/say.js";
import { ratioLabel, verdictWords } from "./verdict-words.js";

/**
 * @typedef {import("./measured.js").Configuration} Configuration
 * @typedef {import("../statistics/contrasts.js").Comparison} Comparison
 */

/**
 * "Compared with Brodipim, as sold: 2 clearly higher, 1 cannot tell".
 * @param {Configuration} first
 * @param {Comparison[]} others each with the first
 */
export function headingText(first, others) {
  if (others.length === 0) return say("compare.add", { first: first.label });
  const words = others.map(verdictWords);
  const counts = [...new Set(words)].map((word) => ({ n: words.filter((other) => other === word).length, word }));
  const verdicts = counts.map(({ n, word }) => (others.length === 1 ? word : `${n} ${word}`)).join(", ");
  return say("compare.compared", { first: first.label, verdicts });
}

/**
 * What a list of several comparisons allows for; "" for one.
 * @param {number} comparisons
 */
export function listSentence(comparisons) {
  return comparisons < 2 ? "" : say("compare.list", { comparisons });
}

/**
 * "×2 the fit factor of Brodipim, as sold: 90 % interval ×1.2 to ×3, 99 % interval ×1.1 to ×3.4."
 * @param {Element} ratio as it is to stand out
 * @param {Configuration} first
 * @param {Comparison} found
 */
export function ratioWords(ratio, first, found) {
  return pieces("compare.ratio", { ratio, ...aboutRatio(first, found) });
}

/**
 * The same as one text.
 * @param {Configuration} first
 * @param {Comparison} found
 */
export function ratioText(first, found) {
  return say("compare.ratio", { ratio: ratioLabel(found), ...aboutRatio(first, found) });
}

/**
 * @param {Configuration} first
 * @param {Comparison} found
 */
function aboutRatio(first, found) {
  return {
    first: first.label,
    likely: between(found.low90, found.high90),
    clear: between(found.low99, found.high99),
  };
}

/**
 * What is compared, for a picture that leaves the page: both by name, or the first and how many.
 * @param {Configuration} first
 * @param {Configuration[]} others
 */
export function pictureTitle(first, others) {
  const [other, ...more] = others;
  if (!other) return first.label;
  if (more.length) return say("compare.side_by_side", { configurations: count("configuration", others.length + 1) });
  return say("ratios.of_both", { a: first.label, b: other.label });
}

/**
 * The columns of the table of wearers.
 * @param {Configuration} first
 * @param {Configuration} other
 */
export function wearerColumns(first, other) {
  const changed = first.mask === other.mask && first.sold;
  return [
    say("head.wearer"),
    say("head.verdict"),
    say("head.ratio"),
    say("head.interval"),
    say(changed ? "head.donnings_changed" : "head.donnings"),
  ];
}

function measuredColumns() {
  return [say("head.configuration"), say("head.median_fit_factor"), say("head.range")];
}

/** The columns of the table of figures. */
export function figureColumns() {
  return [...measuredColumns(), say("head.wearers"), say("head.tests")];
}

/** The columns of the whole comparison in Markdown. */
export function markdownColumns() {
  const compared = [say("head.ratio"), say("head.interval"), say("head.verdict"), say("head.wearers_of_both")];
  return [...measuredColumns(), say("head.tests"), ...compared];
}

/**
 * "3 tests, 2 wearers".
 * @param {Published.Spread} figures
 */
export function testsWords(figures) {
  return `${count("test", figures.tests)}, ${count("wearer", figures.wearers)}`;
}

/**
 * How well a configuration is known, beside the first one where there is one.
 * @param {number} both wearers of both
 * @param {number} wearers
 * @param {boolean} beside
 */
export function hintWords(both, wearers, beside) {
  return beside ? say("compare.tried_both", { wearers: count("wearer", both) }) : count("wearer", wearers);
}

/**
 * What to beware of, for whoever sees the comparison elsewhere.
 * @param {Published.Comparables} published
 */
export function cautions({ name, newest, invented }) {
  return [say("compare.caution", { name, newest }), ...(invented ? [say("compare.invented")] : [])];
}
