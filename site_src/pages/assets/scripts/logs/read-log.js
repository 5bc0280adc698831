// A counter's log as people hand it in: its phases and fit factors, and all that is wrong with it or doubtful.
import { LOGS } from "../words/logs.js";
import { NoFitFactor, runFitFactor } from "./counting.js";
import { findLayout } from "./log-layout.js";
import { logMessage } from "./log-messages.js";
import { LogError, LogProblems } from "./log-problems.js";
import { LogReader } from "./log-rows.js";
import { chained, decoded, linesOf, taken } from "./log-text.js";
import { plainWord } from "./nearest-words.js";
import { rounded, toDecimals } from "./plain-numbers.js";
import { runDoubts } from "./run-doubts.js";
import { readRun, TooManyStretches } from "./run-log.js";
import { AMBIENT, MASK, PURGE, SWAPPED } from "./sampled-air.js";
import { isProtocol, lay, scheduleOf } from "./schedule.js";
import { sensorPhases, withCalibration } from "./two-sensors.js";

/**
 * @typedef {object} LogOptions
 * @property {string} [schedule] a protocol's id, or "ambient 20, purge 11, mask talking 30, ambient 9", for a log without
 *   phases
 * @property {string} [column] the name of the column to read, or its number from 1, where several could be the counts
 * @property {number} [purgeAmbient] seconds to drop after each switch to room air
 * @property {number} [purgeMask] and to the mask
 * @property {string} [instrument] its id, for how much air it samples
 *
 * @typedef {import("./counting.js").SampledPhase} SampledPhase
 * @typedef {import("./run-log.js").RunLog} RunLog
 *
 * @typedef {object} ReadExercise
 * @property {string} name its id, "" where none is said
 * @property {number} fitFactor
 * @property {number | null} low of the 95 % counting interval; null where it is not known
 * @property {number | null} high null where it is not known or has no end
 * @property {boolean} atLeast the fit factor is a lower limit
 * @property {number} seconds
 * @property {number | null} particles null where concentrations were read
 * @property {boolean} counted whether it enters the overall fit factor, as all but the grimace do
 *
 * @typedef {object} ReadCut where a schedule was laid on the log, for a person to look at
 * @property {number} shift seconds from the start of the log to that of the schedule
 * @property {number} wrong the share of the schedule that lies on the wrong side of a step
 * @property {{phase: string, exercise: string, from: number, to: number, level: number | null}[]} phases
 *
 * @typedef {object} ReadLog
 * @property {ReadExercise[]} exercises empty where there are problems
 * @property {{fitFactor: number, low: number | null, high: number | null} | null} overall null where there are problems
 * @property {boolean} atLeast the overall fit factor is a lower limit
 * @property {{id: string, text: string}[]} doubts what makes the figures doubtful, to be shown beside them
 * @property {{row: number, column: string, problem: string, remedy: string}[]} problems why the log gives no fit factor; row
 *   0 stands for the whole file, or for the schedule, and there `remedy` may be ""
 * @property {SampledPhase[]} phases as `[[result.counts]]` of an entry takes them
 * @property {ReadCut | null} cut
 * @property {Record<string, unknown>} result what the result of an entry says: `counts`, or `fit_factor` and `at_least` where
 *   the readings were no particles, and `protocol` where the exercises are one's
 * @property {import("./trace.js").Level[]} levels the readings over time, for a chart: kind (0 room air, 1 mask, 2 purge),
 *   seconds, level
 */

/**
 * Read a log. Nothing is thrown for whatever the bytes are.
 * @param {Uint8Array} bytes the file as it is
 * @param {LogOptions} [options]
 * @returns {ReadLog}
 */
export function readLog(bytes, options = {}) {
  const problems = new LogProblems();
  try {
    const log = runOf(bytes, options, problems);
    if (log) return measured(log, options);
  } catch (error) {
    if (error instanceof LogError) problems.add(error.row, "", error.message, error.remedy);
    else if (error instanceof TooManyStretches) problems.add(0, "", error.message, logMessage("many_stretches_remedy"));
    else if (error instanceof NoFitFactor) {
      const remedy = options.schedule ? "no_scheduled_fit_factor_remedy" : "no_fit_factor_remedy";
      problems.add(0, "", error.message, logMessage(remedy));
    } else throw error;
  }
  if (!problems.total) problems.add(0, "", logMessage("no_rows"), logMessage("no_rows_remedy"));
  return {
    exercises: [],
    overall: null,
    atLeast: false,
    doubts: [],
    problems: problems.sentences(),
    phases: [],
    cut: null,
    result: {},
    levels: [],
  };
}

/** The rows of a log summed; null where there are problems, or no rows. */
function runOf(/** @type {Uint8Array} */ bytes, /** @type {LogOptions} */ options, /** @type {LogProblems} */ problems) {
  const { schedule = "", column = "", purgeAmbient, purgeMask } = options;
  const { limits } = LOGS;
  const purge = { ambient: purgeAmbient ?? 0, mask: purgeMask ?? 0 };
  const usual = { ambient: purgeAmbient ?? limits.purge_ambient_s, mask: purgeMask ?? limits.purge_mask_s };
  const planned = schedule ? scheduleOf(schedule, usual) : null;
  const text = decoded(bytes);
  const none = { ambient: 0, mask: 0 };
  const read = (/** @type {import("./schedule.js").ScheduleCut | null} */ cut, /** @type {number} */ bins, dropped = none) => {
    const lines = linesOf(text);
    const sample = taken(lines, limits.sample_lines);
    const layout = findLayout(sample, problems, column, planned !== null);
    if (!layout) return null;
    const reader = new LogReader(layout, problems);
    const found = readRun(reader.rows(chained(sample, lines)), dropped, cut, bins);
    return problems.total ? null : { ...found, byWeight: layout.byWeight, remarks: reader.remarks };
  };
  if (!planned) {
    const found = read(null, limits.bins, purge);
    return found?.stretches.length ? found : null;
  }
  const fine = read(null, limits.fine_bins);
  if (!fine?.levels.length) return null;
  const cut = lay(planned, fine.levels, fine.binS);
  const found = read(cut, limits.bins, isProtocol(schedule) ? none : purge);
  return found?.stretches.length ? found : null;
}

/** @returns {ReadLog} */
function measured(/** @type {RunLog} */ log, /** @type {LogOptions} */ { schedule = "", instrument = "" }) {
  const phases = log.atOnce ? sensorPhases(log) : log.stretches.flatMap((stretch) => phaseOf(log, stretch));
  const sampledFit = fitOf(phases, log.least);
  const fit = log.atOnce && log.counted ? withCalibration(sampledFit, log) : sampledFit;
  const masks = phases.filter(({ phase }) => phase === "mask");
  const { fitFactor, low, high, atLeast } = fit.overall;
  const exercises = fit.exercises.map(({ exercise: name, result, counted }, place) => ({
    name,
    ...result,
    seconds: masks[place]?.seconds ?? NaN,
    particles: masks[place]?.particles ?? null,
    counted,
  }));
  const sampled = LOGS.sampled_cm3[instrument] ?? LOGS.limits.most_sampled_cm3;
  const protocol = protocolOf(exercises.map(({ name }) => name), schedule);
  const asFigure = log.byWeight || (atLeast && !log.counted);
  return {
    exercises,
    overall: { fitFactor, low, high },
    atLeast,
    doubts: runDoubts(log, fit, sampled),
    problems: [],
    phases,
    cut: log.cut && cutOf(log, log.cut),
    result: {
      ...(protocol ? { protocol } : {}),
      ...(asFigure ? { fit_factor: fitFactor, at_least: atLeast } : { counts: phases }),
    },
    levels: log.levels,
  };
}

/** @returns {SampledPhase[]} a stretch as a phase that counts, or none */
function phaseOf(/** @type {RunLog} */ log, /** @type {import("./run-log.js").Stretch} */ stretch) {
  const seconds = toDecimals(stretch.seconds, 6);
  if (stretch.kind === PURGE || seconds <= 0) return [];
  const name = stretch.kind === MASK ? LOGS.exercises[stretch.exercise] : "";
  return [
    {
      phase: stretch.kind === AMBIENT ? "ambient" : "mask",
      ...(name ? { exercise: name } : {}),
      seconds,
      ...(log.counted ? { particles: rounded(stretch.amount) } : { concentration: stretch.amount / stretch.seconds }),
    },
  ];
}

/** The fit factors; with concentrations of 0 in the mask those that the smallest reading there would give. */
function fitOf(/** @type {SampledPhase[]} */ phases, /** @type {number} */ least) {
  const isZero = (/** @type {SampledPhase} */ { phase, concentration }) => phase === "mask" && concentration === 0;
  if (!phases.some(isZero) || !Number.isFinite(least)) return runFitFactor(phases);
  const fit = runFitFactor(phases.map((phase) => (isZero(phase) ? { ...phase, concentration: least } : phase)));
  const zero = phases.filter(({ phase }) => phase === "mask").map(isZero);
  const exercises = fit.exercises.map((one, place) => ({
    ...one,
    result: { ...one.result, atLeast: one.result.atLeast || (zero[place] ?? false) },
  }));
  const atLeast = exercises.some(({ counted, result }) => counted && result.atLeast);
  return { ...fit, exercises, overall: { ...fit.overall, atLeast } };
}

/** The protocol of a schedule, else the one whose exercises these are; the grimace may be missing. */
function protocolOf(/** @type {string[]} */ names, /** @type {string} */ schedule) {
  if (schedule && isProtocol(schedule)) return plainWord(schedule);
  const done = (/** @type {string[]} */ some) => JSON.stringify(some.filter((name) => name !== "grimace").sort());
  const same = Object.entries(LOGS.protocols).find(
    ([, { steps }]) => done(steps.map(([exercise]) => exercise)) === done(names),
  );
  return same?.[0];
}

/** @returns {ReadCut} */
function cutOf(/** @type {RunLog} */ { stretches }, /** @type {import("./schedule.js").ScheduleCut} */ { shift, wrong }) {
  return {
    shift,
    wrong,
    phases: stretches.map(({ kind, exercise, begin, end, seconds, amount }) => ({
      phase: LOGS.kinds[kind] ?? "",
      exercise: kind === MASK || kind === SWAPPED ? (LOGS.exercises[exercise] ?? "") : "",
      from: toDecimals(begin, 3),
      to: toDecimals(end, 3),
      level: seconds ? amount / seconds : null,
    })),
  };
}
