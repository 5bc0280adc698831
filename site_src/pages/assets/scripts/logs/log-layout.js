// How a log is laid out, understood from its first lines: what parts its cells, which columns there are.
import { findColumns } from "./log-columns.js";
import { findHeader } from "./log-header.js";
import { logMessage } from "./log-messages.js";
import { LogSample } from "./log-sample.js";
import { stripped } from "./log-text.js";
import { isClock, isDated } from "./log-times.js";

/**
 * @typedef {object} LogLayout
 * @property {string} delimiter
 * @property {number} above lines over the first row
 * @property {string[]} names
 * @property {import("./log-sample.js").LogColumn} time what tells the time of each row
 * @property {import("./log-columns.js").Columns} columns
 * @property {boolean} clock times are clock times, not seconds
 * @property {boolean} carried a blank phase goes on with the one above it
 * @property {boolean} byTurns of two columns, inside and outside, each row fills one
 * @property {boolean} newestFirst the last row stands first
 * @property {boolean} byWeight the readings are dust by weight, not particles
 * @property {boolean} atOnce inside and outside are measured at once
 */

/**
 * The layout of a log by its first lines; null with what is missing noted.
 * @param {string[]} lines
 * @param {import("./log-problems.js").LogProblems} problems
 * @param {string} reading the column of readings where a person chose it
 * @param {boolean} scheduled phases come from elsewhere
 */
export function findLayout(lines, problems, reading, scheduled) {
  const header = findHeader(lines);
  if (!header) {
    const told = lines.some((line) => stripped(line)) ? "no_names" : "empty_file";
    problems.add(1, "", logMessage(told), logMessage(`${told}_remedy`));
    return null;
  }
  const sample = new LogSample(header, lines.slice(header.above));
  const columns = findColumns(sample, problems, reading);
  if (scheduled) {
    columns.delete("phase");
    columns.delete("exercise");
  } else if (!columns.has("phase") && !columns.has("inside")) {
    problems.add(header.line, "phase", logMessage("no_phase"), logMessage("no_phase_remedy"));
  }
  return problems.total ? null : layoutOf(sample, columns);
}

/**
 * The layout with these columns, of which those are left out that others make needless.
 * @param {LogSample} sample
 * @param {import("./log-columns.js").Columns} columns
 * @returns {LogLayout}
 */
function layoutOf(sample, columns) {
  const texts = (/** @type {import("./log-words.js").Role} */ role) => sample.cells(columns.get(role)?.place ?? -1);
  const time = columns.get("seconds") ?? columns.get("start") ?? columns.get("duration");
  if (!time) throw new Error("A layout has a column of times.");
  const clock = sample.mostly(time.place, isClock);
  if (!clock || isDated(sample.cells(time.place)[0] ?? "")) columns.delete("date");
  if (columns.has("particles")) {
    columns.delete("concentration");
    columns.delete("flow_cm3_s");
  }
  const phases = texts("phase");
  const carried = Boolean(phases[0]) && phases.filter((text) => !text).length * 2 >= phases.length;
  const [inside, outside] = [texts("inside"), texts("outside")];
  const byTurns = inside.length > 0 && !inside.some((text, row) => text && outside[row]);
  return {
    delimiter: sample.header.delimiter,
    above: sample.header.above,
    names: sample.header.names,
    time,
    newestFirst: !columns.has("duration") && sample.falls(time.place),
    columns,
    clock,
    carried,
    byTurns,
    byWeight: [...columns.values()].some(({ measure }) => measure === "mass"),
    atOnce: columns.has("inside") && !byTurns,
  };
}
