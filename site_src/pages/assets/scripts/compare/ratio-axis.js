// The axis of ratios that just holds what it shows, as `builder/site/ratio_axis.py` fits it.

/** How far beyond the outermost ratio the axis goes, as a factor. */
const BESIDE = 1.3;
/** From end to end, as a factor. */
const LEAST = 6;
/** From end to end, as a factor: from there on a narrow page has no room for the ticks between powers of ten. */
const CROWDED = 60;

/**
 * @typedef {{value: number, minor: boolean}} Tick a narrow page has no room for a minor one
 * @typedef {{low: number, high: number, ticks: Tick[]}} Axis
 */

/**
 * The ends of an axis that just holds some ratios and 1, and its ticks.
 * @param {number[]} ratios
 * @returns {Axis}
 */
export function fittedAxis(ratios) {
  const [lowest, highest] = [Math.min(1, ...ratios) / BESIDE, Math.max(1, ...ratios) * BESIDE];
  const wider = Math.sqrt(Math.max(1, (LEAST * lowest) / highest));
  const [low, high] = [lowest / wider, highest * wider];
  const crowded = high / low > CROWDED;
  return { low, high, ticks: ticksBetween(low, high).map((tick) => ({ ...tick, minor: crowded && tick.minor })) };
}

/**
 * Values of one digit, 1, 2 or 5; the latter two are minor.
 * @param {number} low
 * @param {number} high
 */
function ticksBetween(low, high) {
  const first = Math.floor(Math.log10(low));
  const powers = Array.from({ length: Math.ceil(Math.log10(high)) - first + 1 }, (_, place) => first + place);
  return powers
    .flatMap((power) => [1, 2, 5].map((digit) => ({ value: Number(`${digit}e${power}`), minor: digit > 1 })))
    .filter(({ value }) => low <= value && value <= high);
}
