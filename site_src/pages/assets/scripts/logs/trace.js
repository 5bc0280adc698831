// How the concentration ran over time, in a few hundred equal bins, however long the log is.
import { LOGS } from "../words/logs.js";
import { at } from "./sampled-air.js";

/** @typedef {{kind: number, seconds: number, level: number}} Level the mean of one kind of air in a bin, at its middle */

/** Sums amounts and seconds in bins of equal width, which doubles when they run out. */
export class Trace {
  /**
   * @param {number} width
   * @param {number} bins
   */
  constructor(width, bins) {
    this.width = Math.max(width, LOGS.limits.shortest_bin_s);
    this.bins = bins;
    this.sums = LOGS.kinds.map(() => ({ amount: new Float64Array(bins), seconds: new Float64Array(bins) }));
  }

  /**
   * Add a row by the middle of its interval.
   * @param {number} middle
   * @param {number} seconds
   * @param {number} amount
   * @param {number} kind
   */
  add(middle, seconds, amount, kind) {
    const sums = this.sums[kind];
    const bin = Math.trunc(middle / this.width);
    if (!sums) return;
    sums.amount[bin] = at(sums.amount, bin) + amount;
    sums.seconds[bin] = at(sums.seconds, bin) + seconds;
  }

  /** Make the bins wide enough for a time. */
  reach(/** @type {number} */ middle) {
    while (middle >= this.bins * this.width) {
      this.width *= 2;
      for (const { amount, seconds } of this.sums) {
        halve(amount);
        halve(seconds);
      }
    }
  }

  /**
   * The bins in which something was sampled, kind by kind, in order of time.
   * @returns {Level[]}
   */
  levels() {
    return this.sums.flatMap(({ amount, seconds }, kind) =>
      [...seconds.entries()]
        .filter(([, length]) => length > 0)
        .map(([bin, length]) => ({ kind, seconds: (bin + 0.5) * this.width, level: at(amount, bin) / length })),
    );
  }
}

function halve(/** @type {Float64Array} */ bins) {
  const half = bins.length / 2;
  for (let bin = 0; bin < half; bin += 1) bins[bin] = at(bins, 2 * bin) + at(bins, 2 * bin + 1);
  bins.fill(0, half);
}
