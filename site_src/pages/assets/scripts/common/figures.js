// How figures are written: each function gives the very text that the builder prints for the same number.

const AT_LEAST = "≥\u202f";
const AT_MOST = "≤\u202f";
const NONE = "–";

/**
 * Three significant digits and no exponent; "–" for none.
 * @param {number | null} value
 */
export function figure(value) {
  if (value === null || Number.isNaN(value)) return NONE;
  const rounded = threeDigits(value);
  const decimals = rounded === 0 ? 0 : Math.max(0, 2 - Math.floor(Math.log10(Math.abs(rounded))));
  const [whole, fraction = ""] = rounded.toFixed(decimals).split(".");
  const kept = fraction.replace(/0+$/, "");
  return grouped(whole) + (kept && `.${kept}`);
}

/**
 * A fit factor, marked where it is a lower limit.
 * @param {number | null} value
 * @param {boolean} atLeast
 */
export function fit(value, atLeast = false) {
  const text = figure(value);
  return atLeast && text !== NONE ? AT_LEAST + text : text;
}

/**
 * "1 wearer", "14 wearers".
 * @param {number} count
 * @param {string} word
 */
export function plural(count, word) {
  return `${grouped(String(count))} ${count === 1 ? word : `${word}s`}`;
}

/**
 * Lowest to highest test: "12–450"; one figure where they are the same.
 * @param {Published.Figures} figures
 */
export function rangeLabel(figures) {
  const low = figure(figures.lowest_fit_factor);
  const top = fit(figures.highest_fit_factor, figures.highest_at_least);
  return low === figure(figures.highest_fit_factor) ? top : `${low}–${top}`;
}

/**
 * Total inward leakage in percent, "≤" where the median is a lower limit.
 * @param {Published.Figures} figures
 */
export function leakageLabel(figures) {
  const text = figure(figures.til_percent);
  return text === NONE ? text : `${figures.median_at_least ? AT_MOST : ""}${text} %`;
}

/**
 * How many wearers reach 100: "3 of 4".
 * @param {Published.Figures} figures
 */
export function reachLabel(figures) {
  if (figures.share_wearers === 0) return NONE;
  return `${Math.round(figures.share_at_100 * figures.share_wearers)} of ${figures.share_wearers}`;
}

/**
 * The interval of that share in whole percents: "30–95 %"; "" for none.
 * @param {Published.Figures} figures
 */
export function intervalLabel(figures) {
  if (figures.share_wearers === 0) return "";
  const [low, high] = [figures.share_at_100_low, figures.share_at_100_high].map((share) => Math.floor(100 * share + 0.5));
  return `${low}–${high} %`;
}

/**
 * How many tests were set aside; "" for none.
 * @param {Published.Figures} figures
 */
export function asideLabel(figures) {
  return figures.set_aside ? `${figures.set_aside} set aside` : "";
}

/** Rounds to three significant digits; exactly half way goes to the even digit, as in Python. */
function threeDigits(/** @type {number} */ value) {
  // 60 digits are more than a number of this size can have between two others, so a tie shows as zeros to the end.
  const exact = value.toExponential(60);
  const evenTie = /\.\d[02468]50*e/.test(exact);
  return Number(evenTie ? exact.replace(/50*e/, "e") : value.toExponential(2));
}

function grouped(/** @type {string} */ digits) {
  return digits.replace(/\B(?=(\d{3})+$)/g, "\u202f");
}
