// The Kaplan–Meier median of readings of which some are only known to be "at least" their value (right-censored).
// Kaplan & Meier, J. Am. Stat. Assoc. 1958;53:457–481. Step for step what the builder computes.

// A curve that should be exactly one half misses it by rounding.
const ROUNDING = 1e-9;

/**
 * @typedef {{value: number, atLeast: boolean}} Reading A fit factor, or its lower limit; a median is one as well.
 */

/**
 * The median of one or more readings; without "at least" readings the ordinary one.
 * @param {Reading[]} readings
 * @returns {Reading}
 */
export function median(readings) {
  const sorted = [...readings].sort((a, b) => a.value - b.value);
  if (!sorted.some((reading) => reading.atLeast)) return { value: ordinaryMedian(sorted), atLeast: false };
  const curve = survival(sorted);
  const first = curve.findIndex((step) => step.share <= 0.5 + ROUNDING);
  if (first < 0) return { value: sorted[sorted.length - 1].value, atLeast: true };
  const { value, share } = curve[first];
  if (share < 0.5 - ROUNDING) return { value, atLeast: false };
  // The curve stays at one half: up to the next exact reading, or for as long as anything is known.
  if (first + 1 === curve.length) return { value, atLeast: true };
  return { value: (value + curve[first + 1].value) / 2, atLeast: false };
}

function ordinaryMedian(/** @type {Reading[]} */ sorted) {
  const last = sorted.length - 1;
  return (sorted[Math.floor(last / 2)].value + sorted[Math.ceil(last / 2)].value) / 2;
}

/** The share of readings above each distinct exact value, in rising order. */
function survival(/** @type {Reading[]} */ sorted) {
  const curve = [];
  let share = 1;
  for (let start = 0, end = 0; start < sorted.length; start = end) {
    const { value } = sorted[start];
    let exact = 0;
    for (end = start; end < sorted.length && sorted[end].value === value; end += 1) exact += sorted[end].atLeast ? 0 : 1;
    if (exact === 0) continue;
    // Those censored at this very value are still at risk.
    share *= 1 - exact / (sorted.length - start);
    curve.push({ value, share });
  }
  return curve;
}
