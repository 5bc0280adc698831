// The rows of a log that hold readings: the header again, blank rows and what stands below the readings left out.
import { LOGS } from "../words/logs.js";
import { bareNumber, oddCell } from "./log-cells.js";
import { counted, logMessage } from "./log-messages.js";
import { numberOf } from "./log-numbers.js";
import { stripped } from "./log-text.js";
import { isClock } from "./log-times.js";
import { saidPhase } from "./log-words.js";

/**
 * @typedef {import("./log-text.js").RowChunk} RowChunk
 * @typedef {import("./log-sample.js").LogColumn} LogColumn
 * @typedef {Map<string, {times: number, row: number}>} Remarks what is odd in how a log is written, by the id of the doubt
 */

/**
 * Count rows of which something is odd.
 * @param {Remarks} remarks
 * @param {string} name
 * @param {number[]} rows
 */
export function noteRemark(remarks, name, rows) {
  const [row] = rows;
  if (row === undefined) return;
  const known = remarks.get(name);
  remarks.set(name, { times: (known?.times ?? 0) + rows.length, row: known?.row ?? row });
}

/** Passes on the rows of readings, each as wide as the header, chunk by chunk. */
export class LogLines {
  constructor(
    /** @type {import("./log-layout.js").LogLayout} */ layout,
    /** @type {import("./log-problems.js").LogProblems} */ problems,
    /** @type {Remarks} */ remarks,
  ) {
    this.layout = layout;
    this.problems = problems;
    this.remarks = remarks;
    this.names = layout.names.map(stripped);
    this.needed = Math.max(...[...layout.columns.values()].map(({ place }) => place)) + 1;
  }

  /**
   * The rows; lines without a time at the end of all are counted, elsewhere they are rows with a fault.
   * @param {Iterable<RowChunk>} chunks
   * @returns {Generator<RowChunk>}
   */
  *rows(chunks) {
    /** @type {RowChunk} */
    let held = { numbers: [], rows: [] };
    let begun = false;
    for (const read of chunks) {
      const { numbers, rows } = this.#withoutHeaders({
        numbers: [...held.numbers, ...read.numbers],
        rows: [...held.rows, ...read.rows],
      });
      let end = rows.length;
      while (end && this.#isBelow(rows[end - 1] ?? [])) end -= 1;
      if ((!end && !begun) || rows.length - end > LOGS.limits.most_below) end = rows.length;
      begun ||= end > 0;
      held = { numbers: numbers.slice(end), rows: rows.slice(end) };
      const whole = this.#whole({ numbers: numbers.slice(0, end), rows: rows.slice(0, end) });
      if (whole.rows.length) yield whole;
    }
    noteRemark(this.remarks, "lines_below", held.numbers);
  }

  /** Leave out the header where it stands again, and rows without a word. */
  #withoutHeaders(/** @type {RowChunk} */ { numbers, rows }) {
    const { place } = this.layout.time;
    const name = this.names[place] ?? "";
    /** @type {RowChunk} */
    const kept = { numbers: [], rows: [] };
    for (const [at, row] of rows.entries()) {
      const number = numbers[at] ?? 0;
      const cell = stripped(row[place] ?? "");
      if (!cell || cell === name) {
        if (!row.some(stripped)) continue;
        if (row.length >= this.names.length && this.names.every((one, column) => one === stripped(row[column] ?? ""))) {
          noteRemark(this.remarks, "repeated_headers", [number]);
          continue;
        }
      }
      kept.numbers.push(number);
      kept.rows.push(row);
    }
    return kept;
  }

  /** Whether a line has no time, and no digit where it stands or no reading beside it either. */
  #isBelow(/** @type {string[]} */ row) {
    const { columns, time } = this.layout;
    if (row.length < this.needed) return true;
    const text = row[time.place] ?? "";
    if (this.layout.clock ? isClock(text) : Number.isFinite(numberOf(bareNumber(text, time.unit), time.form))) return false;
    if (!/\p{Nd}/u.test(text)) return true;
    const readings = [...columns.values()].filter(({ measure }) => measure);
    if (!readings.some((column) => isNumber(row[column.place] ?? "", column))) return true;
    const phase = columns.get("phase");
    return phase !== undefined && !saidPhase(row[phase.place] ?? "");
  }

  /** Note the rows that lack a column that is read, or have more values than the header has names. */
  #whole(/** @type {RowChunk} */ chunk) {
    const width = this.names.length;
    /** @type {RowChunk} */
    const kept = { numbers: [], rows: [] };
    for (const [place, cells] of chunk.rows.entries()) {
      const number = chunk.numbers[place] ?? 0;
      if (cells.length === width || (cells.length >= this.needed && !cells.slice(width).some(stripped))) {
        kept.numbers.push(number);
        kept.rows.push(cells);
      } else {
        const problem = logMessage("width", { values: counted(cells.length, "value"), width });
        this.problems.addRepeated([number], "", problem, logMessage("width_remedy"));
      }
    }
    return kept;
  }
}

function isNumber(/** @type {string} */ text, /** @type {LogColumn} */ { unit, form }) {
  const bare = bareNumber(text, unit);
  return Number.isFinite(numberOf(bare, form)) || (Boolean(stripped(bare)) && oddCell(bare) !== null);
}
