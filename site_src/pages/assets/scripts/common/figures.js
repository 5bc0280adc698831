// How figures are written: each function gives the very text that the builder prints for the same number.
import { LANGUAGE } from "../words/language.js";
import { grouped, say } from "./say.js";

const { digits: DIGITS, point: POINT, none: NONE } = LANGUAGE.number;
const EVEN_TIE = new RegExp(`\\.\\d{${DIGITS - 2}}[02468]50*e`);

/**
 * Three significant digits and no exponent; "–" for none.
 * @param {number | null} value
 */
export function figure(value) {
  if (value === null || Number.isNaN(value)) return NONE;
  const rounded = inDigits(value);
  const decimals = rounded === 0 ? 0 : Math.max(0, DIGITS - 1 - Math.floor(Math.log10(Math.abs(rounded))));
  const [whole = "", fraction = ""] = rounded.toFixed(decimals).split(".");
  const kept = fraction.replace(/0+$/, "");
  return grouped(whole) + (kept && POINT + kept);
}

/**
 * A fit factor, marked where it is a lower limit.
 * @param {number | null} value
 * @param {boolean} atLeast
 */
export function fit(value, atLeast = false) {
  const text = figure(value);
  return atLeast && text !== NONE ? say("figure.at_least", { figure: text }) : text;
}

/**
 * A ratio: "×2.1"; "–" for none.
 * @param {number | null} ratio
 */
export function times(ratio) {
  return ratio === null ? NONE : say("figure.times", { figure: figure(ratio) });
}

/**
 * An interval of ratios, open where nothing bounds it.
 * @param {number | null} low
 * @param {number | null} high
 */
export function between(low, high) {
  if (low === null && high === null) return say("figure.unbounded");
  if (high === null) return say("figure.or_more", { low: times(low) });
  if (low === null) return say("figure.or_less", { high: times(high) });
  return say("figure.between", { low: times(low), high: times(high) });
}

/**
 * Lowest to highest test: "12–450"; one figure where they are the same.
 * @param {Pick<Published.Figures, "lowest_fit_factor" | "highest_fit_factor" | "highest_at_least">} figures
 */
export function rangeLabel(figures) {
  const low = figure(figures.lowest_fit_factor);
  const top = fit(figures.highest_fit_factor, figures.highest_at_least);
  return low === figure(figures.highest_fit_factor) ? top : say("summary.range", { low, high: top });
}

/**
 * Total inward leakage in percent, "≤" where the median is a lower limit.
 * @param {Published.Figures} figures
 */
export function leakageLabel(figures) {
  const text = figure(figures.til_percent);
  if (text === NONE) return text;
  const leakage = say("summary.leakage", { figure: text });
  return figures.median_at_least ? say("figure.at_most", { figure: leakage }) : leakage;
}

/**
 * How many wearers reach 100: "3 of 4".
 * @param {Published.Figures} figures
 */
export function reachLabel(figures) {
  if (figures.share_at_100 === null) return NONE;
  const reached = Math.round(figures.share_at_100 * figures.share_wearers);
  return say("summary.reached", { reached, wearers: figures.share_wearers });
}

/**
 * The interval of that share in whole percents: "30–95 %"; "" for none.
 * @param {Published.Figures} figures
 */
export function intervalLabel(figures) {
  const { share_at_100_low: low, share_at_100_high: high } = figures;
  if (low === null || high === null) return "";
  const percent = (/** @type {number} */ share) => Math.floor(100 * share + 0.5);
  return say("figure.percents", { low: percent(low), high: percent(high) });
}

/**
 * How many tests were set aside; "" for none.
 * @param {Published.Figures} figures
 */
export function asideLabel(figures) {
  return figures.set_aside ? say("summary.set_aside", { tests: figures.set_aside }) : "";
}

/** Rounds to significant digits; exactly half way goes to the even digit, as in Python. */
function inDigits(/** @type {number} */ value) {
  // 60 digits are more than a number of this size can have between two others, so a tie shows as zeros to the end.
  const exact = value.toExponential(60);
  return Number(EVEN_TIE.test(exact) ? exact.replace(/50*e/, "e") : value.toExponential(DIGITS - 1));
}
