// From a ratio with its uncertainty to a verdict, and Holm's adjustment of a list of them. The builder's own rules.
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {"none" | "at_least" | "at_most" | "both"} Bound
 * @typedef {"clear" | "likely" | "alike" | "cannot-tell"} Word
 * @typedef {"b-higher" | "a-higher" | "none"} Direction
 *
 * @typedef {object} Judgement The ratio of geometric mean fit factors, B over A. A limit is null where nothing bounds it.
 * @property {number | null} ratio
 * @property {number | null} low90
 * @property {number | null} high90
 * @property {number | null} low99
 * @property {number | null} high99
 * @property {Bound} bound whether the ratio is a value or a limit
 * @property {number} p_value two-sided, adjusted within a list
 * @property {Word} verdict
 * @property {Direction} direction
 * @property {number | null} donnings_needed more on each side that would tell a doubling
 * @property {number | null} donnings_for_seen the same for a difference as large as the one found
 */

/** Ratios within ×÷ this are called alike, ln units. */
const ALIKE = Math.log(LEVELS.alike_ratio);

/** Nothing is known of the ratio: both sides are limits. @type {Readonly<Judgement>} */
export const UNKNOWN = Object.freeze({
  ratio: null,
  low90: null,
  high90: null,
  low99: null,
  high99: null,
  bound: "both",
  p_value: 1,
  verdict: "cannot-tell",
  direction: "none",
  donnings_needed: null,
  donnings_for_seen: null,
});

/**
 * Judges a difference of ln FF, B − A. A limit can only have a verdict in the direction that it proves.
 * @param {number} difference
 * @param {(level: number) => {low: number, high: number}} interval
 * @param {number} pValue two-sided
 * @param {Bound} bound
 * @returns {Judgement}
 */
export function judge(difference, interval, pValue, bound) {
  if (bound === "both") return { ...UNKNOWN };
  const wrongSide = (bound === "at_least" && difference < 0) || (bound === "at_most" && difference > 0);
  const p = wrongSide ? 1 : pValue;
  const [at90, at99] = [interval(LEVELS.likely_level), interval(LEVELS.clear_level)];
  const verdict = word(p, bound === "none" && at90.low >= -ALIKE && at90.high <= ALIKE);
  const differs = verdict === "clear" || verdict === "likely";
  return {
    ratio: Math.exp(difference),
    low90: bound === "at_most" ? null : Math.exp(at90.low),
    high90: bound === "at_least" ? null : Math.exp(at90.high),
    low99: bound === "at_most" ? null : Math.exp(at99.low),
    high99: bound === "at_least" ? null : Math.exp(at99.high),
    bound,
    p_value: p,
    verdict,
    direction: differs ? (difference > 0 ? "b-higher" : "a-higher") : "none",
    donnings_needed: null,
    donnings_for_seen: null,
  };
}

/** @returns {Word} */
function word(/** @type {number} */ p, /** @type {boolean} */ alike) {
  if (p < LEVELS.beyond_clear) return "clear";
  if (p < LEVELS.beyond_likely) return "likely";
  return alike ? "alike" : "cannot-tell";
}

/**
 * The same comparisons as one list: a "clear" that does not survive Holm's adjustment becomes "likely".
 * @template {Judgement} T
 * @param {T[]} judged
 * @returns {T[]}
 */
export function verdictsInList(judged) {
  const adjusted = holm(judged.map((item) => item.p_value));
  return judged.map((item, index) => {
    const p = adjusted[index] ?? item.p_value;
    const verdict = item.verdict === "clear" && p >= LEVELS.beyond_clear ? "likely" : item.verdict;
    return { ...item, p_value: p, verdict };
  });
}

/**
 * Holm's adjusted p-values, in the order given (Scand. J. Stat. 1979;6:65–70).
 * @param {number[]} pValues
 */
export function holm(pValues) {
  const rising = pValues.map((p, index) => ({ p, index })).sort((a, b) => a.p - b.p);
  /** @type {number[]} */
  const adjusted = [];
  let largest = 0;
  for (const [rank, { p, index }] of rising.entries()) {
    largest = Math.max(largest, p * (pValues.length - rank));
    adjusted[index] = Math.min(1, largest);
  }
  return adjusted;
}
