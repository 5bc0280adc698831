// The rows of a log in order of time, each with the time of its end, whatever order and time they were written with.
import { Midnights } from "./log-times.js";
import { at, median } from "./sampled-air.js";

/** @typedef {import("./log-rows.js").Rows} Rows */

/**
 * Turn a log round whose newest row stands first, count its midnights, and make ends of starts.
 * @param {Iterable<Rows>} chunks
 * @param {import("./log-layout.js").LogLayout} layout
 * @returns {Iterable<Rows>}
 */
export function inOrder(chunks, layout) {
  const turned = layout.newestFirst ? newestLast(chunks) : chunks;
  const timed = layout.clock ? unrolled(turned) : turned;
  if (!layout.columns.has("start")) return timed;
  return layout.columns.has("duration") ? fromStart(timed) : ended(timed);
}

/** @returns {Generator<Rows>} */
function* newestLast(/** @type {Iterable<Rows>} */ chunks) {
  for (const rows of [...chunks].reverse()) yield mapped(rows, (column) => [...column].reverse());
}

/** @returns {Generator<Rows>} */
function* unrolled(/** @type {Iterable<Rows>} */ chunks) {
  const midnights = new Midnights();
  for (const rows of chunks) yield rows.dated ? rows : { ...rows, seconds: midnights.unrolled(rows.seconds) };
}

/**
 * Let each row end as long after its start as it lasted, and the first one begin at 0.
 * @param {Iterable<Rows>} chunks
 * @returns {Generator<Rows>}
 */
function* fromStart(chunks) {
  let first = NaN;
  for (const rows of chunks) {
    if (Number.isNaN(first)) first = at(rows.seconds, 0);
    const begun = first;
    yield { ...rows, seconds: rows.seconds.map((one, row) => one - begun + (rows.lengths?.[row] ?? 0)) };
  }
}

/**
 * Let each row end where the next one begins, and the last after the usual interval.
 * @param {Iterable<Rows>} chunks
 * @returns {Generator<Rows>}
 */
function* ended(chunks) {
  /** @type {Rows | null} */
  let held = null;
  let [first, usual] = [NaN, 0];
  for (const read of chunks) {
    /** @type {Rows} */
    const rows = held ? joined(held, read) : read;
    if (!held) first = at(rows.seconds, 0);
    const later = rows.seconds.slice(1);
    const steps = later.map((one, row) => one - at(rows.seconds, row)).filter((step) => step > 0);
    if (!usual && steps.length) usual = median(steps);
    const begun = first;
    if (later.length) yield { ...mapped(rows, (column) => column.slice(0, -1)), seconds: later.map((one) => one - begun) };
    held = mapped(rows, (column) => column.slice(-1));
  }
  if (held) yield { ...held, seconds: [at(held.seconds, 0) - first + usual] };
}

/**
 * The rows with each of their columns changed in one way.
 * @param {Rows} rows
 * @param {<T>(column: T[]) => T[]} change
 * @returns {Rows}
 */
function mapped(rows, change) {
  return {
    ...rows,
    number: change(rows.number),
    seconds: change(rows.seconds),
    kind: change(rows.kind),
    exercise: change(rows.exercise),
    amount: change(rows.amount),
    missing: change(rows.missing),
    flow: rows.flow && change(rows.flow),
    outside: rows.outside && change(rows.outside),
    lengths: rows.lengths && change(rows.lengths),
  };
}

/**
 * @param {Rows} one
 * @param {Rows} other
 * @returns {Rows}
 */
function joined(one, other) {
  return {
    ...other,
    number: [...one.number, ...other.number],
    seconds: [...one.seconds, ...other.seconds],
    kind: [...one.kind, ...other.kind],
    exercise: [...one.exercise, ...other.exercise],
    amount: [...one.amount, ...other.amount],
    missing: [...one.missing, ...other.missing],
    flow: one.flow && other.flow && [...one.flow, ...other.flow],
    outside: one.outside && other.outside && [...one.outside, ...other.outside],
    lengths: one.lengths && other.lengths && [...one.lengths, ...other.lengths],
  };
}
