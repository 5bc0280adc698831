// What makes a run doubtful: its clock, its schedule, short phases, tails, a counter at its limit, room air, drift.
import { LEVELS } from "../words/levels.js";
import { LOGS } from "../words/logs.js";
import { counted, doubt, logWords, pointed } from "./log-messages.js";
import { general, rounded, toDecimals } from "./plain-numbers.js";
import { AMBIENT, at, MASK, mean, median, PURGE, sum, SWAPPED } from "./sampled-air.js";
import { sensorDoubt } from "./two-sensors.js";

/**
 * @typedef {import("./run-log.js").RunLog} RunLog
 * @typedef {import("./run-log.js").Stretch} Stretch
 * @typedef {import("./counting.js").RunFitFactor} RunFitFactor
 * @typedef {{id: string, text: string}} Doubt
 */

const LEAST_SHARE = 1e-3;

/**
 * All that makes a run doubtful.
 * @param {RunLog} log
 * @param {RunFitFactor} fit
 * @param {number} sampledCm3 the air that the counter takes in half a minute
 * @returns {Doubt[]}
 */
export function runDoubts(log, fit, sampledCm3) {
  const names = log.stretches.map(nameOf);
  return [
    ...remarkDoubts(log),
    ...clockDoubts(log.clock),
    ...cutDoubts(log),
    ...shortDoubts(log.stretches, names),
    ...tailDoubts(log, names),
    ...missingAirDoubts(log),
    ...limitDoubts(log),
    ...driftDoubts(fit),
    ...(log.counted ? fewCountsDoubts(fit) : zeroDoubts(fit, log.least)),
    ...lowAirDoubts(log, fit, sampledCm3),
    ...(log.atOnce ? [sensorDoubt(log)] : []),
    ...belowOneDoubts(fit, log.atOnce ? "below_one_at_once" : "below_one"),
  ];
}

/** What is odd in how the log is written. */
function remarkDoubts(/** @type {RunLog} */ { remarks }) {
  return LOGS.remarks.flatMap(([told, noun]) => {
    const found = remarks.get(told);
    // Without a noun it is told once, however often it is found.
    const times = found && noun ? { times: counted(found.times, noun) } : {};
    return found ? [doubt(told, { ...times, row: found.row })] : [];
  });
}

function clockDoubts(/** @type {import("./run-log.js").Clock} */ clock) {
  const kinds = /** @type {const} */ ([
    ["gaps", clock.gaps, "gap"],
    ["overlaps", clock.overlaps, "overlap"],
    [clock.coarse ? "coarse_clock" : "repeats", clock.repeats, "row"],
    ["backwards", clock.backwards, "step"],
  ]);
  const irregular = kinds
    .filter(([, { times }]) => times)
    .map(([told, { times, row, most }, noun]) =>
      doubt(told, { times: counted(times, noun), row, most: written(most), usual: written(clock.usual) }),
    );
  return clock.noStart ? [doubt("no_start", { row: clock.noStart }), ...irregular] : irregular;
}

function cutDoubts(/** @type {RunLog} */ { cut }) {
  if (!cut || cut.wrong <= LOGS.limits.poor_fit) return [];
  return [doubt("poor_schedule", { wrong: logWords("percent", { n: rounded(cut.wrong * 100) }) })];
}

/** The stretches that were sampled for too short a time, once for each reason. */
function shortDoubts(/** @type {Stretch[]} */ stretches, /** @type {string[]} */ names) {
  const { shortest_mask_s: maskS, shortest_ambient_s: airS } = LOGS.limits;
  /** @type {Map<number, string[]>[]} */
  const [gone, hardly, short] = [new Map(), new Map(), new Map()];
  const note = (/** @type {Map<number, string[]> | undefined} */ of, /** @type {number} */ key, /** @type {string} */ name) =>
    of?.set(key, [...(of.get(key) ?? []), name]);
  for (const [place, { kind, seconds, purged }] of stretches.entries()) {
    if (kind === PURGE) continue;
    const least = kind === MASK || kind === SWAPPED ? maskS : airS;
    const name = names[place] ?? "";
    if (seconds === 0) note(gone, purged, name);
    else if (seconds < purged) note(hardly, purged, logWords("only", { name, seconds: written(seconds) }));
    else if (seconds < least) note(short, least, `${name}, ${written(seconds)} s`);
  }
  return [
    ...[...(gone ?? [])].map(([purged, of]) => doubt("nothing_left", { phases: of.join("; "), purged: written(purged) })),
    ...[...(hardly ?? [])].map(([purged, of]) => doubt("hardly_left", { phases: of.join(logWords("and_of")), purged: written(purged) })),
    ...[...(short ?? [])].map(([least, of]) => doubt("too_short", { phases: of.join("; "), least: written(least) })),
  ];
}

/** The phases at whose start the last one still tells. */
function tailDoubts(/** @type {RunLog} */ log, /** @type {string[]} */ names) {
  /** @type {{name: string, seconds: number}[]} */
  const falling = [];
  /** @type {{name: string, seconds: number}[]} */
  const rising = [];
  /** @type {Stretch | undefined} */
  let before;
  for (const [place, stretch] of log.stretches.entries()) {
    if (stretch.kind === PURGE) continue;
    const seconds = before && before.kind !== stretch.kind ? tail(log, stretch) : 0;
    if (seconds) (stretch.kind === MASK ? falling : rising).push({ name: names[place] ?? "", seconds });
    before = stretch;
  }
  return /** @type {const} */ ([["tail_in_mask", falling], ["tail_in_air", rising]])
    .filter(([, found]) => found.length)
    .map(([told, found]) => {
      const longest = Math.max(...found.map(({ seconds }) => seconds));
      return doubt(told, { longest: written(longest), phases: found.map(({ name }) => name).join("; ") });
    });
}

/** The seconds at the start of a stretch that belong to the phase before, 0 for none. */
function tail(/** @type {RunLog} */ log, /** @type {Stretch} */ { kind, begin, end }) {
  const { falls, rises, shifts_mask: inMask, shifts_air: inAir, fewest_readings: fewest } = LOGS.limits;
  const levels = log.levels
    .filter((one) => one.kind === kind && begin < one.seconds && one.seconds < end)
    .map(({ level }) => level);
  if (levels.length < fewest) return 0;
  const masked = kind === MASK;
  const later = levels.slice(Math.floor(levels.length / 3));
  const rest = median(later);
  const away = levels.map((level) => (masked ? level - rest : rest - level));
  const limit = (rest * (masked ? falls - 1 : 1 - rises)) / 2;
  const length = away.findIndex((one) => !(one > limit));
  const [first, start] = [at(levels, 0), at(away, 0)];
  const odd = masked ? first >= falls * rest : first <= rises * rest;
  if (length <= 0 || !odd || !beyondChance(log, first, later, rest)) return 0;
  const gone = sum(away.slice(0, length));
  const moved = gone > (masked ? inMask : inAir) * Math.max(sum(levels.slice(length)), gone * LEAST_SHARE);
  return moved && away.every((one) => start >= one) ? length * log.binS : 0;
}

/** Whether the first reading is further from the rest than counting, or the scatter of the rest, explains. */
function beyondChance(
  /** @type {RunLog} */ { counted: isCounted, binS },
  /** @type {number} */ first,
  /** @type {number[]} */ later,
  /** @type {number} */ rest,
) {
  const middle = mean(later);
  let spread = Math.sqrt(mean(later.map((level) => (level - middle) ** 2)));
  if (isCounted) spread = Math.max(spread, Math.sqrt(Math.max(rest * binS, 1)) / binS);
  return Math.abs(first - rest) > LOGS.limits.standard_deviations * spread;
}

/** Room air that was sampled on one side of the mask alone. */
function missingAirDoubts(/** @type {RunLog} */ { stretches }) {
  const kinds = stretches.filter(({ kind, seconds }) => kind !== PURGE && seconds > 0).map(({ kind }) => kind);
  if (!kinds.includes(MASK) || !kinds.includes(AMBIENT)) return [];
  return [
    ...(kinds[0] === MASK ? [doubt("no_air_before")] : []),
    ...(kinds.at(-1) === MASK ? [doubt("no_air_after")] : []),
  ];
}

/** The counter gave the same ambient reading all the time, or its highest one too often. */
function limitDoubts(/** @type {RunLog} */ { top: { most, times, rows } }) {
  const { fewest_at_top: fewest, constant_from: from, at_top_share: share } = LOGS.limits;
  if (rows < fewest || most < from) return [];
  if (times === rows) return [doubt("constant", { times: rows, noun: "readings" })];
  return times >= Math.max(share * rows, fewest) ? [doubt("at_its_limit", { times, rows, most: written(most) })] : [];
}

function driftDoubts(/** @type {RunFitFactor} */ { drift }) {
  if (!drift || !(drift.refuse || drift.warn)) return [];
  return [doubt(drift.refuse ? "too_much_drift" : "drift", { ratio: written(drift.ratio, 2) })];
}

/** The exercises of which not a single particle could have shown the pass level. */
function fewCountsDoubts(/** @type {RunFitFactor} */ { exercises }) {
  const weak = exercises.filter((one) => one.counted && !one.ambientEnough);
  return weak.length ? [doubt("too_few_counts", { level: general(LEVELS.pass_level), exercises: eachOnce(weak) })] : [];
}

function zeroDoubts(/** @type {RunFitFactor} */ { exercises }, /** @type {number} */ least) {
  const zero = exercises.filter(({ result }) => result.atLeast);
  return zero.length ? [doubt("none_in_mask", { exercises: eachOnce(zero), least: written(least) })] : [];
}

/** A concentration of room air that is too low for the fit factors it gave. */
function lowAirDoubts(/** @type {RunLog} */ log, /** @type {RunFitFactor} */ { exercises }, /** @type {number} */ sampledCm3) {
  const air = log.stretches.filter(({ kind, seconds }) => kind === AMBIENT && seconds > 0);
  if (log.counted || log.byWeight || !air.length) return [];
  const level = sum(air.map(({ amount }) => amount)) / sum(air.map(({ seconds }) => seconds));
  const { fewest_expected: fewest } = LOGS.limits;
  const highest = Math.max(...exercises.map(({ result }) => result.fitFactor));
  if (highest <= (level * sampledCm3) / fewest) return [];
  const shown = Number(general(level, 3));
  const most = rounded((shown * sampledCm3) / fewest);
  return [doubt("too_little_air", { level: written(shown), fewest, most, highest: rounded(highest) })];
}

function belowOneDoubts(/** @type {RunFitFactor} */ { overall }, /** @type {string} */ told) {
  const below = toDecimals(overall.fitFactor, 9) < 1 && !overall.atLeast;
  return below ? [doubt(told, { fit_factor: written(overall.fitFactor, 2) })] : [];
}

function written(/** @type {number} */ number, /** @type {number} */ digits = 6) {
  return pointed(general(number, digits));
}

function nameOf(/** @type {Stretch} */ { kind, exercise, row }) {
  return [LOGS.kinds[kind], LOGS.exercises[exercise], logWords("from_row", { row })].filter(Boolean).join(", ");
}

function eachOnce(/** @type {import("./counting.js").ExerciseFitFactor[]} */ exercises) {
  return [...new Set(exercises.map(({ exercise }) => exercise || "mask"))].join(", ");
}
