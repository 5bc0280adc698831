// Which column of a log holds what, by its name and by what it holds.
import { LOGS } from "../words/logs.js";
import { logMessage, quoted } from "./log-messages.js";
import { stripped } from "./log-text.js";
import { DAY_S, isClock, isDated } from "./log-times.js";
import { saidPhase } from "./log-words.js";
import { median } from "./sampled-air.js";

/**
 * @typedef {import("./log-words.js").Role} Role
 * @typedef {import("./log-sample.js").LogColumn} LogColumn
 * @typedef {import("./log-sample.js").LogSample} LogSample
 * @typedef {import("./log-problems.js").LogProblems} LogProblems
 * @typedef {Map<Role, LogColumn>} Columns
 * @typedef {Map<Role, number[]>} Places where columns are, by what their names say that they hold
 */

/** @type {Role[]} */
const READINGS = ["particles", "concentration", "inside", "outside"];
const FIRST_ROWS = 5;

/**
 * The column for each role; `reading` names the one of readings where a person chose it.
 * @param {LogSample} sample
 * @param {LogProblems} problems
 * @param {string} reading
 * @returns {Columns}
 */
export function findColumns(sample, problems, reading) {
  /** @type {Places} */
  const named = new Map();
  for (const [place, name] of sample.found.entries()) {
    if (name) named.set(name.role, [...(named.get(name.role) ?? []), place]);
  }
  /** @type {Columns} */
  const found = new Map(times(sample, named));
  const readings = reading ? chosen(sample, problems, reading) : readingsOf(sample, named, found, problems);
  for (const [role, column] of readings) found.set(role, column);
  for (const [role, column] of said(sample, named, takenBy(found))) found.set(role, column);
  for (const role of /** @type {Role[]} */ (["date", "flow_cm3_s"])) {
    const [place] = named.get(role) ?? [];
    if (place !== undefined) found.set(role, sample.column(place));
  }
  if (!found.has("seconds") && !found.has("start") && !found.has("duration")) {
    const remedy = sample.remedy("seconds", logMessage("no_seconds_remedy"));
    problems.add(sample.header.line, "seconds", logMessage("no_seconds"), remedy);
  }
  return found;
}

/**
 * The time: seconds before dates before clock times, one that increases; lengths where they differ.
 * @param {LogSample} sample
 * @param {Places} named
 * @returns {[Role, LogColumn][]}
 */
function times(sample, named) {
  const candidates = named.get("seconds") ?? [];
  const numeric = candidates.filter(
    (place) => sample.increases(place) || (sample.numeric(place) && sample.falls(place)),
  );
  const clocks = candidates.filter((place) => sample.mostly(place, isClock));
  const dated = clocks.filter((place) => sample.cells(place).slice(0, FIRST_ROWS).some(isDated));
  let place = [numeric, dated, clocks, candidates].find((some) => some.length)?.[0];
  place ??= sample.places.find(
    (one) =>
      !sample.found[one] && (sample.mostly(one, isClock) || (!sample.header.line && sample.increases(one))),
  );
  const [date] = named.get("date") ?? [];
  if (place === undefined && date !== undefined && sample.mostly(date, isClock)) place = date;
  const [length] = named.get("duration") ?? [];
  const [start] = named.get("start") ?? [];
  if (place === undefined && start !== undefined && (sample.numeric(start) || sample.mostly(start, isClock))) {
    /** @type {[Role, LogColumn][]} */
    const found = [["start", inSeconds(sample, sample.column(start))]];
    if (length !== undefined) found.push(["duration", sample.column(length)]);
    return found;
  }
  if (length !== undefined && (place === undefined || new Set(sample.cells(length)).size > 1)) {
    return [["duration", sample.column(length)]];
  }
  return place === undefined ? [] : [["seconds", inSeconds(sample, sample.column(place))]];
}

/**
 * A time that does not say its unit, which its size tells: counted since 1970, or in days as spreadsheets do.
 * @param {LogSample} sample
 * @param {LogColumn} column
 * @returns {LogColumn}
 */
function inSeconds(sample, column) {
  const { few_rows: few, first_serial_day: from, last_serial_day: to, serial_step: serial } = LOGS.limits;
  const values = sample.values(column.place, sample.cells(column.place).slice(0, few));
  const first = values.find((value) => value > 0) ?? 0;
  const steps = values.slice(1).map((value, row) => Math.abs(value - (values[row] ?? NaN)));
  const step = steps.length && !steps.some(Number.isNaN) ? median(steps) : NaN;
  const inDays =
    (from < first && first < to && step > 0 && step < serial) ||
    (values.every((value) => value < 1) && LOGS.limits.least_day_step < step && step < LOGS.limits.most_day_step);
  const [, unit] = LOGS.epoch_units.find(([least]) => first > least) ?? [0, 1];
  return { ...column, factor: column.factor * (column.factor === 1 && inDays ? DAY_S : unit) };
}

/**
 * The column of readings that a person named, or numbered.
 * @param {LogSample} sample
 * @param {LogProblems} problems
 * @param {string} reading
 * @returns {[Role, LogColumn][]}
 */
function chosen(sample, problems, reading) {
  const names = sample.header.names.map(stripped);
  let place = names.findIndex((name) => name.toLowerCase() === stripped(reading).toLowerCase());
  if (place < 0 && /^\d+$/.test(reading)) place = Number(reading) <= sample.width ? Number(reading) - 1 : -1;
  if (place < 0) {
    const remedy = logMessage("no_column_remedy", { known: names.map(quoted).join(", ") });
    problems.add(sample.header.line, "", logMessage("no_column", { name: quoted(reading) }), remedy);
    return [];
  }
  return [taken(sample, place, sample.found[place]?.measure ?? sample.guessed(place))];
}

/**
 * The readings: particles before concentration, else two at once.
 * @param {LogSample} sample
 * @param {Places} named
 * @param {Columns} found
 * @param {LogProblems} problems
 * @returns {[Role, LogColumn][]}
 */
function readingsOf(sample, named, found, problems) {
  const { header } = sample;
  const numeric = new Map(READINGS.map((role) => [role, plainest(sample, named.get(role) ?? [])]));
  for (const role of READINGS.slice(0, 2)) {
    const some = numeric.get(role) ?? [];
    if (some.length > 1) {
      const names = some.map((place) => quoted(stripped(header.names[place] ?? ""))).join(", ");
      const problem = logMessage("several_readings", { measure: role, names });
      problems.add(header.line, "", problem, logMessage("several_readings_remedy"));
      return [];
    }
  }
  const [inside] = numeric.get("inside") ?? [];
  const [outside] = numeric.get("outside") ?? [];
  if (inside !== undefined && outside !== undefined) {
    return [["inside", sample.column(inside)], ["outside", sample.column(outside)]];
  }
  for (const role of READINGS) {
    const place = numeric.get(role)?.[0] ?? named.get(role)?.[0];
    if (place !== undefined) return [taken(sample, place, header.found[place]?.measure ?? "concentration")];
  }
  const known = new Set([...takenBy(found), ...[...named.values()].flat()]);
  const left = sample.places.filter((place) => !known.has(place) && sample.numeric(place));
  const [first] = left;
  if (!header.line && left.length === 1 && first !== undefined) return [taken(sample, first, sample.guessed(first))];
  let remedy = logMessage("no_readings_remedy");
  if (header.line && first !== undefined) {
    remedy = logMessage("likely_readings_remedy", { name: quoted(stripped(header.names[first] ?? "")) });
  }
  problems.add(header.line || 1, "", logMessage("no_readings"), sample.remedy("particles", remedy));
  return [];
}

/** The columns of numbers, of those the ones with the plainest name. */
function plainest(/** @type {LogSample} */ sample, /** @type {number[]} */ places) {
  const numeric = places.filter((place) => sample.numeric(place));
  const rank = (/** @type {number} */ place) => sample.found[place]?.rank ?? 0;
  const lowest = Math.min(...numeric.map(rank));
  return numeric.filter((place) => rank(place) === lowest);
}

/**
 * @param {LogSample} sample
 * @param {number} place
 * @param {import("./log-words.js").Measure} measure
 * @returns {[Role, LogColumn]}
 */
function taken(sample, place, measure) {
  const column = { ...sample.column(place, measure === "particles"), measure };
  return [measure === "particles" ? "particles" : "concentration", column];
}

function takenBy(/** @type {Columns} */ found) {
  return new Set([...found.values()].map(({ place }) => place));
}

/**
 * Phases and exercises: columns whose words are understood, the ones of that name first.
 * @param {LogSample} sample
 * @param {Places} named
 * @param {Set<number>} known
 * @returns {[Role, LogColumn][]}
 */
function said(sample, named, known) {
  const understood = sample.places.filter(
    (place) => !known.has(place) && sample.mostly(place, (text) => saidPhase(text) !== null),
  );
  const spoken = (/** @type {number} */ place) => sample.cells(place).flatMap((text) => saidPhase(text) ?? []);
  const phases = understood.filter((place) => spoken(place).some(({ phase }) => phase !== "mask"));
  const exercises = understood.filter((place) => spoken(place).some(({ exercise }) => exercise));
  const called = (named.get("phase") ?? []).filter((place) => !known.has(place) && !sample.numeric(place));
  const masks = understood.filter((place) => called.includes(place));
  const phase = [called.filter((place) => phases.includes(place)), phases, masks, called].flat()[0];
  const wanted = (named.get("exercise") ?? []).filter((place) => !known.has(place) && place !== phase);
  const exercise = [
    wanted.filter((place) => exercises.includes(place)),
    exercises.filter((place) => place !== phase),
    wanted,
  ].flat()[0];
  /** @type {[Role, LogColumn][]} */
  const columns = [];
  if (phase !== undefined) columns.push(["phase", sample.column(phase)]);
  if (exercise !== undefined) columns.push(["exercise", sample.column(exercise)]);
  return columns;
}
