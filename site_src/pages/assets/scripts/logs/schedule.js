// A log of time and counts alone, cut by a schedule: where the schedule lies on the log, and what each row is then.
import { LOGS } from "../words/logs.js";
import { logMessage, quoted } from "./log-messages.js";
import { LogError } from "./log-problems.js";
import { saidPhase } from "./log-words.js";
import { nearest, plainWord } from "./nearest-words.js";
import { AMBIENT, at, MASK, mean, OF_ONE, PURGE } from "./sampled-air.js";

/**
 * @typedef {{kind: number, exercise: number, seconds: number}} PlannedPhase
 *
 * @typedef {object} ScheduleCut a schedule that begins some seconds after the log
 * @property {PlannedPhase[]} schedule
 * @property {number[]} edges seconds of the log at which the phases begin, and the last one ends
 * @property {number} shift
 * @property {number} wrong the share of it that lies wrong there
 */

const PHASE = /^(.*?)\s*(\d+(?:\.\d+)?)\s*(s|sec|seconds|min|minutes)?$/iu;
const SHOWN = 40;
const LEAST_MARGIN_S = 1e-6;
const MARGIN = 1e-3;
const ROUNDS = 30;

/** Whether a schedule is the id of a protocol. */
export function isProtocol(/** @type {string} */ text) {
  const word = plainWord(text);
  return Object.hasOwn(LOGS.protocols, word) || LOGS.untimed.includes(word);
}

/**
 * A schedule as a person gives it: the id of a protocol, or a list of phases with their seconds.
 * Throws a LogError, its message all that is wrong with it.
 * @param {string} text
 * @param {import("./run-log.js").Purge} purge how long a protocol's hose is flushed
 * @returns {PlannedPhase[]}
 */
export function scheduleOf(text, purge) {
  if (isProtocol(text)) return protocolSchedule(plainWord(text), purge);
  const phases = [];
  const faults = [];
  for (const item of text.split(/[,;\n]/).map((one) => one.trim()).filter(Boolean)) {
    const phase = phaseOf(item);
    if (typeof phase === "string") faults.push(phase);
    else phases.push(phase);
  }
  const kinds = new Set(phases.map(({ kind }) => kind));
  if (!faults.length && !(kinds.has(AMBIENT) && kinds.has(MASK))) faults.push(logMessage("one_air"));
  if (faults.length) throw new LogError(0, faults.join(" "), "");
  return phases;
}

/** The published times of a protocol, with the hose flushed at each switch. */
function protocolSchedule(/** @type {string} */ protocol, /** @type {import("./run-log.js").Purge} */ purge) {
  const timing = LOGS.protocols[protocol];
  if (!timing) {
    throw new LogError(0, logMessage("untimed_protocol", { protocol, timed: LOGS.timed.join(", ") }), "");
  }
  /** @type {PlannedPhase[]} */
  const phases = [{ kind: AMBIENT, exercise: 0, seconds: timing.ambient_start_s }];
  for (const [number, [exercise, seconds]] of timing.steps.entries()) {
    if (phases.at(-1)?.kind === AMBIENT) phases.push({ kind: PURGE, exercise: 0, seconds: purge.mask });
    phases.push({ kind: MASK, exercise: LOGS.exercises.indexOf(exercise), seconds });
    const last = number === timing.steps.length - 1;
    if (timing.ambient_between || last) {
      phases.push({ kind: PURGE, exercise: 0, seconds: purge.ambient });
      phases.push({ kind: AMBIENT, exercise: 0, seconds: last ? timing.ambient_end_s : timing.ambient_start_s });
    }
  }
  return phases.filter(({ seconds }) => seconds > 0);
}

/** @returns {PlannedPhase | string} a phase, or what is wrong with it */
function phaseOf(/** @type {string} */ item) {
  const match = PHASE.exec(item);
  if (!match) {
    const word = nearest(plainWord(item), Object.keys(LOGS.protocols));
    if (word !== undefined) return logMessage("no_protocol", { item: quoted(item), word });
    return logMessage("no_length", { item: quoted(item), phase: item.slice(0, SHOWN) });
  }
  const [, what = "", number = "", unit = ""] = match;
  const said = saidPhase(what);
  const kind = said ? LOGS.kinds.indexOf(said.phase) : -1;
  if (!said || kind < 0 || kind >= OF_ONE) {
    const known = [...LOGS.kinds.slice(0, OF_ONE), ...LOGS.exercises.filter(Boolean)];
    const word = nearest(plainWord(what), known);
    const remedy = word === undefined ? logMessage("no_planned_phase_remedy") : logMessage("meant_remedy", { word });
    return `${logMessage("no_planned_phase", { item: quoted(what) })} ${remedy}`;
  }
  const seconds = Number(number) * (unit.toLowerCase().startsWith("m") ? 60 : 1);
  if (!(seconds > 0 && seconds <= LOGS.limits.longest_phase_s)) return logMessage("odd_length", { item: quoted(item) });
  return { kind, exercise: kind === MASK ? LOGS.exercises.indexOf(said.exercise) : 0, seconds };
}

/**
 * What a row is by its interval. One across a switch, or outside, is purge.
 * @param {ScheduleCut} cut
 * @param {number} begin
 * @param {number} end
 */
export function cutRow({ schedule, edges }, begin, end) {
  const margin = LEAST_MARGIN_S + (end - begin) * MARGIN;
  const kindOf = (/** @type {number} */ place) => schedule[place - 1]?.kind ?? PURGE;
  const [first, last, middle] = [begin + margin, end - margin, (begin + end) / 2].map((time) => placeOf(edges, time));
  if (first === undefined || last === undefined || middle === undefined || kindOf(first) !== kindOf(last)) {
    return { kind: PURGE, exercise: 0 };
  }
  return { kind: kindOf(middle), exercise: schedule[middle - 1]?.exercise ?? 0 };
}

/** How many edges lie before a time. */
function placeOf(/** @type {number[]} */ edges, /** @type {number} */ time) {
  const place = edges.findIndex((edge) => edge >= time);
  return place < 0 ? edges.length : place;
}

/**
 * Lay a schedule on a log where its switches between room air and mask fall on steps of the level.
 * Of shifts that are as good the latest is taken: where the hose is flushed after the switch to the mask, that one ends
 * the room air at the step.
 * @param {PlannedPhase[]} schedule
 * @param {import("./trace.js").Level[]} levels of bins as wide as `width`
 * @param {number} width
 * @returns {ScheduleCut}
 */
export function lay(schedule, levels, width) {
  const { missing_cost: missing, alike_cost: alike } = LOGS.limits;
  const bins = levels.map((level) => Math.round(level.seconds / width - 0.5));
  const length = bins.reduce((most, bin) => Math.max(most, bin), 0) + 1;
  /** @type {number[]} */
  const root = Array.from({ length }, () => NaN);
  for (const [place, bin] of bins.entries()) root[bin] = Math.sqrt(levels[place]?.level ?? 0);
  const outside = outsideShare(root);
  const inAir = running(outside.map((share) => (Number.isNaN(share) ? 0 : share)));
  const inMask = running(outside.map((share) => (Number.isNaN(share) ? 0 : 1 - share)));
  const covered = running(root.map((one) => (Number.isNaN(one) ? 0 : 1)));

  const edges = edgesOf(schedule).map((edge) => edge / width);
  const first = schedule[0]?.kind === AMBIENT ? 1 : 0;
  const last = schedule.at(-1)?.kind === AMBIENT ? schedule.length - 1 : schedule.length;
  const least = -Math.trunc(at(edges, first));
  const most = Math.max(length - Math.ceil(at(edges, last)), 0);
  const costs = Array.from({ length: most - least + 1 }, (_, place) => {
    let cost = 0;
    for (const [number, { kind }] of schedule.entries()) {
      if (kind === PURGE) continue;
      const [begin, end] = [at(edges, number) + least + place, at(edges, number + 1) + least + place];
      const rows = at(edges, number + 1) - at(edges, number);
      cost += between(kind === MASK ? inAir : inMask, begin, end);
      cost += (kind === AMBIENT ? missing : 1) * (rows - between(covered, begin, end));
    }
    return cost;
  });
  const planned = schedule.reduce(
    (total, { kind }, number) => total + (kind === PURGE ? 0 : at(edges, number + 1) - at(edges, number)),
    0,
  );
  const lowest = costs.reduce((low, cost) => Math.min(low, cost), Infinity);
  const best = costs.findLastIndex((cost) => cost <= lowest + alike);
  const shift = (least + best) * width;
  return { schedule, edges: edgesOf(schedule).map((edge) => edge + shift), shift, wrong: at(costs, best) / planned };
}

function edgesOf(/** @type {PlannedPhase[]} */ schedule) {
  let total = 0;
  return [0, ...schedule.map(({ seconds }) => (total += seconds))];
}

/** How far each level is one of room air, from 0 to 1: two groups of levels; NaN where there is none. */
function outsideShare(/** @type {number[]} */ root) {
  const { in_air_share: air, in_mask_share: mask } = LOGS.limits;
  const values = root.filter((value) => !Number.isNaN(value));
  let low = values.reduce((one, other) => Math.min(one, other), Infinity);
  let high = values.reduce((one, other) => Math.max(one, other), 0);
  for (let round = 0; round < ROUNDS; round += 1) {
    const middle = (low + high) / 2;
    const [above, below] = [values.filter((value) => value > middle), values.filter((value) => !(value > middle))];
    if (!above.length || !below.length) return root.map((value) => (Number.isNaN(value) ? NaN : 0));
    [low, high] = [mean(below), mean(above)];
  }
  return root.map((value) => {
    const share = (value - low) / (high - low);
    if (share > air) return 1;
    return share < mask ? 0 : share;
  });
}

/** Sums of the numbers before each place, and of all. */
function running(/** @type {number[]} */ numbers) {
  let total = 0;
  return [0, ...numbers.map((one) => (total += one))];
}

/** What lies between two places, each of which may be within a bin or beyond them all. */
function between(/** @type {number[]} */ sums, /** @type {number} */ begin, /** @type {number} */ end) {
  return until(sums, end) - until(sums, begin);
}

function until(/** @type {number[]} */ sums, /** @type {number} */ place) {
  if (place <= 0) return 0;
  if (place >= sums.length - 1) return at(sums, sums.length - 1);
  const before = Math.floor(place);
  return at(sums, before) + (place - before) * (at(sums, before + 1) - at(sums, before));
}
