// What the compare page says around its verdicts: headings, columns, cautions, and what went wrong.
import { plural } from "../common/figures.js";
import { between, verdictWords } from "./verdict-words.js";

/**
 * @typedef {import("./measured.js").Configuration} Configuration
 * @typedef {import("../statistics/contrasts.js").Comparison} Comparison
 */

export const NOT_LOADED = "The data for comparing could not be loaded. What is below is as it was published.";
export const NO_TESTS = "The tests could not be loaded, so nothing can be compared now.";
export const LEGEND =
  "A dot is one donning, a triangle a reading of “at least”. Thin lines join one wearer's donnings and, from row to " +
  "row, their means; the band is the range, the upright bar the median, the dotted line a fit factor of 100.";
export const PICTURE_TITLE = "Fit factor of every donning, by configuration; the table below holds the figures.";
export const AXIS_TITLE = "Fit factor (log scale)";
export const OWN_VERDICT = "Wearer by wearer; each verdict stands for itself, and for that face only.";
export const IN_FULL = "Each comparison in full";
export const FIGURES = "Figures";
export const FIGURE_COLUMNS = ["Configuration", "Median fit factor", "Range", "Wearers", "Tests"];
export const MARKDOWN_COLUMNS = [
  ...["Configuration", "Median fit factor", "Range", "Tests"],
  ...["Ratio", "90 % interval", "Verdict", "Wearers of both"],
];
export const COMPARED_WITH = "compared with";
export const FIRST = "the others are compared with this";
export const PROMOTE = "Compare with this";
export const REMOVE = "Remove";
export const TABLE_COPIED = "Table copied.";
export const NOT_COPIED = "The browser does not let this page copy. Copy it from here:";

const CAUTION = "A fit factor holds for one person, one sample and one donning. Only a fit test on you tells.";

/**
 * "Compared with Brodipim, as sold: 2 clearly higher, 1 cannot tell".
 * @param {Configuration} first
 * @param {Comparison[]} others each with the first
 */
export function headingText(first, others) {
  if (others.length === 0) return `Now add what to compare with ${first.label}`;
  const words = others.map(verdictWords);
  const counts = [...new Set(words)].map((word) => ({ n: words.filter((other) => other === word).length, word }));
  const said = counts.map(({ n, word }) => (others.length === 1 ? word : `${n} ${word}`)).join(", ");
  return `Compared with ${first.label}: ${said}`;
}

/**
 * What a list of several comparisons allows for; "" for one.
 * @param {number} comparisons
 */
export function listSentence(comparisons) {
  if (comparisons < 2) return "";
  return `This list holds ${comparisons} comparisons. “Clear” allows for that (Holm's adjustment).`;
}

/**
 * " the fit factor of Brodipim, as sold: 90 % interval ×1.2 to ×3, 99 % interval ×1.1 to ×3.4."
 * @param {Configuration} first
 * @param {Comparison} found
 */
export function ratioWords(first, found) {
  const [at90, at99] = [between(found.low90, found.high90), between(found.low99, found.high99)];
  return ` the fit factor of ${first.label}: 90 % interval ${at90}, 99 % interval ${at99}.`;
}

/**
 * The columns of the table of wearers.
 * @param {Configuration} first
 * @param {Configuration} other
 */
export function wearerColumns(first, other) {
  const donnings = first.mask === other.mask && first.sold ? "Donnings as sold, changed" : "Donnings of each";
  return ["Wearer", "Verdict", "Ratio", "90 % interval", donnings];
}

/** @param {Configuration} other */
export function wearersTitle(other) {
  return `Wearers who tried both: ${other.label}`;
}

/**
 * "3 tests, 2 wearers".
 * @param {Published.Spread} figures
 */
export function testsWords(figures) {
  return `${plural(figures.tests, "test")}, ${plural(figures.wearers, "wearer")}`;
}

/**
 * How well a configuration is known, beside the first one where there is one.
 * @param {number} both wearers of both
 * @param {number} wearers
 * @param {boolean} beside
 */
export function hintWords(both, wearers, beside) {
  return beside ? `${plural(both, "wearer")} tried both` : plural(wearers, "wearer");
}

/**
 * What to beware of, for whoever sees the comparison elsewhere.
 * @param {Published.Comparables} published
 */
export function cautions({ newest, invented }) {
  const demo = invented ? ["Invented demo data: do not choose a mask by it."] : [];
  return [`Sealbook, tests up to ${newest}. ${CAUTION}`, ...demo];
}
