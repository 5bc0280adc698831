// From the rows of a log to the stretches of a run: how long each phase was sampled, how much was counted.
import { LOGS } from "../words/logs.js";
import { logMessage } from "./log-messages.js";
import { AMBIENT, at, MASK, median, PURGE, SAME_AIR } from "./sampled-air.js";
import { cutRow } from "./schedule.js";
import { Trace } from "./trace.js";

/**
 * @typedef {{ambient: number, mask: number}} Purge seconds to drop after each switch to room air or to the mask
 *
 * @typedef {object} Stretch rows of one kind and exercise that follow each other
 * @property {number} kind
 * @property {number} exercise
 * @property {number} row the first of them
 * @property {number} begin seconds from the start of the log
 * @property {number} end
 * @property {number} seconds what is left after the purge
 * @property {number} amount particles, or concentration × seconds
 * @property {number} purged the time that the purge took
 * @property {number} outside the amount of a second sensor at the same time
 *
 * @typedef {{times: number, row: number, most: number}} Irregular
 *
 * @typedef {object} Clock what was irregular in the times
 * @property {number} usual the usual interval in seconds, 0 where rows have none
 * @property {number} noStart the first row, where its interval is unknown
 * @property {boolean} coarse so many rows have the time of the row before that the clock has too few digits for them
 * @property {Irregular} gaps
 * @property {Irregular} overlaps
 * @property {Irregular} repeats
 * @property {Irregular} backwards
 *
 * @typedef {object} RunLog
 * @property {Stretch[]} stretches
 * @property {boolean} counted amounts are particle counts, not concentrations
 * @property {boolean} byWeight these are of dust
 * @property {boolean} atOnce two sensors measured, inside and outside
 * @property {Clock} clock
 * @property {import("./trace.js").Level[]} levels
 * @property {number} binS
 * @property {number} least the smallest reading above 0
 * @property {{most: number, times: number, rows: number}} top the highest ambient reading
 * @property {import("./schedule.js").ScheduleCut | null} cut
 * @property {import("./log-lines.js").Remarks} remarks what was odd in how it is written
 */

/** A log that changes its phase more often than any run does. */
export class TooManyStretches extends Error {}

// What the sensor inside and the one outside breathe, by kind.
const AIR_INSIDE = [AMBIENT, MASK, PURGE, AMBIENT, AMBIENT];
const AIR_OUTSIDE = [AMBIENT, AMBIENT, PURGE, AMBIENT, MASK];

/**
 * Sum the rows of a log; `cut` says what each one is instead of the rows themselves.
 * @param {Iterable<import("./log-rows.js").Rows>} chunks
 * @param {Purge} purge
 * @param {import("./schedule.js").ScheduleCut | null} cut
 * @param {number} bins
 * @returns {Omit<RunLog, "byWeight" | "remarks">}
 */
export function readRun(chunks, purge, cut, bins) {
  const summing = new Summing(purge, cut, bins);
  for (const rows of chunks) summing.add(rows);
  return summing.log();
}

class Summing {
  constructor(
    /** @type {Purge} */ { ambient, mask },
    /** @type {import("./schedule.js").ScheduleCut | null} */ cut,
    /** @type {number} */ bins,
  ) {
    this.purge = [ambient, mask, Infinity, ambient, mask];
    this.cut = cut;
    this.bins = bins;
    const none = () => ({ times: 0, row: 0, most: 0 });
    /** @type {Clock} */
    this.clock = { usual: 0, noStart: 0, coarse: false, gaps: none(), overlaps: none(), repeats: none(), backwards: none() };
    /** @type {Stretch[]} */
    this.stretches = [];
    this.counted = true;
    this.atOnce = false;
    this.least = Infinity;
    this.top = { most: -1, times: 0, rows: 0 };
    /** @type {Trace | null} */
    this.trace = null;
    this.stamp = 0;
    this.elapsed = 0;
    this.line = { kind: -1, since: 0 }; // what the sampling line breathes, and since when
  }

  log() {
    const { cut, counted, atOnce, clock, least, top, stretches, trace } = this;
    return { stretches, counted, atOnce, clock, least, top, cut, levels: trace?.levels() ?? [], binS: trace?.width ?? 1 };
  }

  add(/** @type {import("./log-rows.js").Rows} */ rows) {
    const { steps, intervals } = this.#intervals(rows);
    this.atOnce = rows.outside !== null;
    this.counted = !rows.concentration || rows.flow !== null;
    if (!this.trace) {
      const timed = intervals.filter((interval) => interval > 0);
      this.trace = new Trace(timed.length ? median(timed) : 1, this.bins);
    }
    const ends = steps.map((step) => (this.elapsed += step));
    const middles = ends.map((end, row) => (at(intervals, row) > 0 ? end - at(intervals, row) / 2 : 0));
    this.trace.reach(middles.reduce((most, one) => Math.max(most, one), 0));
    for (const [row, end] of ends.entries()) {
      const interval = at(intervals, row);
      const begin = end - interval;
      let [kind, exercise] = [at(rows.kind, row), at(rows.exercise, row)];
      if (this.cut) {
        ({ kind, exercise } = cutRow(this.cut, begin, end));
        if (this.atOnce && kind === AMBIENT) kind = SAME_AIR;
      }
      if (kind !== this.line.kind) this.line = { kind, since: begin };
      const kept = interval > 0 && begin - this.line.since >= at(this.purge, kind) - LOGS.limits.rounding_s;
      const reading = at(rows.amount, row);
      const other = rows.outside ? at(rows.outside, row) : 0;
      if (reading > 0) this.least = Math.min(this.least, reading);
      if (kept && kind === (this.atOnce ? MASK : AMBIENT)) this.#top(this.atOnce ? other : reading);
      const weight = (rows.concentration ? interval : 1) * (rows.flow ? at(rows.flow, row) : 1);
      const [amount, second] = [reading * weight, other * weight];
      const stretch = this.#stretch(kind, exercise, at(rows.number, row), begin);
      stretch.end = end;
      if (kept) {
        stretch.seconds += interval;
        stretch.amount += amount;
        stretch.outside += second;
      } else {
        stretch.purged += interval;
      }
      if (interval > 0) {
        const middle = (begin + end) / 2;
        this.trace.add(middle, interval, amount, kept ? at(AIR_INSIDE, kind) : PURGE);
        if (rows.outside) this.trace.add(middle, interval, second, kept ? at(AIR_OUTSIDE, kind) : PURGE);
      }
    }
    this.stamp = at(rows.seconds, rows.seconds.length - 1);
  }

  /** The open stretch, or a new one. */
  #stretch(
    /** @type {number} */ kind,
    /** @type {number} */ exercise,
    /** @type {number} */ row,
    /** @type {number} */ begin,
  ) {
    const open = this.stretches.at(-1);
    if (open?.kind === kind && open.exercise === exercise) return open;
    const { most_stretches: most } = LOGS.limits;
    if (this.stretches.length >= most) throw new TooManyStretches(logMessage("many_stretches", { most }));
    const fresh = { kind, exercise, row, begin, end: begin, seconds: 0, amount: 0, purged: 0, outside: 0 };
    this.stretches.push(fresh);
    return fresh;
  }

  #top(/** @type {number} */ reading) {
    if (reading > this.top.most) [this.top.most, this.top.times] = [reading, 0];
    if (reading === this.top.most) this.top.times += 1;
    this.top.rows += 1;
  }

  /** How far the clock went on at each row, and for how long the row was sampled. */
  #intervals(/** @type {import("./log-rows.js").Rows} */ { seconds, number, lengths, missing }) {
    const { clock } = this;
    const { gap, overlap, first_row: late, regular_rows: few, coarse_share: share } = LOGS.limits;
    let seen = seconds.map((one, row) => one - (row ? at(seconds, row - 1) : this.stamp));
    if (!this.trace) {
      const later = seen.slice(1);
      const same = later.filter((step) => step === 0).length;
      clock.coarse = seen.length > few && same / later.length >= share;
      const { typical } = usualOf(later);
      if (clock.coarse && typical > 0 && at(seen, 0) > late * typical) seen[0] = typical;
    }
    if (clock.coarse) {
      for (const [row, step] of seen.entries()) if (row && step === 0) note(clock.repeats, at(number, row), 0);
      seen = spread(seen);
    }
    if (!this.trace) {
      const { typical, usual } = lengths ? { typical: 0, usual: 0 } : usualOf(seen.slice(1));
      clock.usual = usual;
      if (typical > 0 && at(seen, 0) > late * typical) {
        seen[0] = usual;
        if (!usual) clock.noStart = at(number, 0);
      }
    }
    const intervals = seen.map((step, row) => {
      const of = at(number, row);
      const unseen = !this.trace && row === 0 && step === 0;
      if (step < 0) note(clock.backwards, of, -step);
      if (step === 0 && !unseen && !clock.coarse) note(clock.repeats, of, 0);
      if (!clock.usual || step <= 0) return Math.max(step, 0);
      if (step <= overlap * clock.usual) note(clock.overlaps, of, step);
      if (step <= gap * clock.usual) return step;
      note(clock.gaps, of, step);
      return clock.usual;
    });
    const sampled = intervals.map((interval, row) => {
      if (missing[row]) return 0;
      return lengths ? Math.min(at(lengths, row), at(seen, row)) : interval;
    });
    return { steps: seen.map((step) => Math.max(step, 0)), intervals: sampled };
  }
}

function note(/** @type {Irregular} */ irregular, /** @type {number} */ row, /** @type {number} */ seconds) {
  irregular.row ||= row;
  irregular.times += 1;
  irregular.most = Math.max(irregular.most, seconds);
}

/** Each step parted among its row and those behind it that have the same time. */
function spread(/** @type {number[]} */ steps) {
  const parted = [...steps];
  for (let row = 0; row < steps.length; ) {
    let end = row + 1;
    while (end < steps.length && steps[end] === 0) end += 1;
    if (steps[row] !== 0) parted.fill(at(steps, row) / (end - row), row, end);
    row = end;
  }
  return parted;
}

/** The median of the intervals, and again if most are about as long, else 0. */
function usualOf(/** @type {number[]} */ steps) {
  const { regular_rows: rows, regular_share: share, regular_within: within } = LOGS.limits;
  const timed = steps.filter((step) => step > 0);
  if (!timed.length) return { typical: 0, usual: 0 };
  const typical = median(timed);
  const alike = timed.filter((step) => Math.abs(step - typical) <= within * typical).length / timed.length;
  return { typical, usual: timed.length >= rows && alike >= share ? typical : 0 };
}
