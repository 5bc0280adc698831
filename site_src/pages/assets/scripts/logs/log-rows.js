// From the lines of a log, whose layout is known, to rows of numbers, with every problem at its row and column.
import { LOGS } from "../words/logs.js";
import { bareNumber, oddCell } from "./log-cells.js";
import { LogLines, noteRemark } from "./log-lines.js";
import { logMessage, logWords, quoted } from "./log-messages.js";
import { numberOf } from "./log-numbers.js";
import { inOrder } from "./log-order.js";
import { rowChunks, stripped, taken } from "./log-text.js";
import { clockSeconds } from "./log-times.js";
import { saidPhase } from "./log-words.js";
import { nearest, plainWord } from "./nearest-words.js";
import { AMBIENT, MASK, OF_ONE, PURGE, SAME_AIR, SWAPPED } from "./sampled-air.js";

/**
 * @typedef {import("./log-words.js").Role} Role
 * @typedef {import("./log-sample.js").LogColumn} LogColumn
 * @typedef {{column: LogColumn, texts: string[], rows: number[]}} Cells
 *
 * @typedef {object} Rows some rows of a log, in order
 * @property {number[]} number
 * @property {number[]} seconds
 * @property {number[]} kind
 * @property {number[]} exercise
 * @property {number[]} amount
 * @property {boolean} concentration
 * @property {number[] | null} flow
 * @property {number[] | null} outside
 * @property {boolean[]} missing rows without a reading, whose time counts for nothing
 * @property {boolean} dated the times do not begin anew at midnight
 * @property {number[] | null} lengths how long each row lasted, where that is told
 */

const NO_EXERCISE = new Set(["", "-", "–", "none", "n/a"]);

/** Reads a log chunk by chunk. Once there is a problem, rows are only checked. */
export class LogReader {
  constructor(
    /** @type {import("./log-layout.js").LogLayout} */ layout,
    /** @type {import("./log-problems.js").LogProblems} */ problems,
  ) {
    this.layout = layout;
    this.problems = problems;
    /** @type {import("./log-lines.js").Remarks} */
    this.remarks = new Map();
    this.elapsed = 0;
    this.read = false;
    /** @type {{row: number, column: string, problem: string, remedy: string} | null} */
    this.unread = null;
    /** @type {{kind: number, exercise: number}} */
    this.carried = { kind: AMBIENT, exercise: 0 };
    /** @type {Map<string, {kind: number, exercise: number}>} */
    this.phases = new Map();
  }

  /**
   * The rows of a whole file in order of time. Where no row has a reading, that is a problem.
   * @param {Iterator<string>} lines
   * @returns {Generator<Rows>}
   */
  *rows(lines) {
    const { layout } = this;
    if (layout.newestFirst) noteRemark(this.remarks, "newest_first", [layout.above + 1]);
    yield* inOrder(this.#rows(lines), layout);
    const { unread } = this;
    if (unread && !this.read) this.problems.add(unread.row, unread.column, unread.problem, unread.remedy);
  }

  /** @returns {Generator<Rows>} */
  *#rows(/** @type {Iterator<string>} */ lines) {
    const { above, delimiter, columns } = this.layout;
    taken(lines, above);
    const read = rowChunks(lines, delimiter, above + 1);
    for (const { numbers, rows } of new LogLines(this.layout, this.problems, this.remarks).rows(read)) {
      /** @type {Map<Role, Cells>} */
      const cells = new Map();
      for (const [role, column] of columns) {
        cells.set(role, { column, texts: rows.map((row) => row[column.place] ?? ""), rows: numbers });
      }
      const made = this.#chunk(numbers, cells);
      if (!this.problems.total) yield made;
    }
  }

  /** @returns {Rows} */
  #chunk(/** @type {number[]} */ number, /** @type {Map<Role, Cells>} */ cells) {
    const length = cells.get("duration");
    const lengths = length ? this.#read("duration", length) : null;
    const { seconds, dated } = this.#seconds(cells, lengths);
    const said = this.#said(cells, number.length);
    let { kind } = said;
    /** @type {number[] | null} */
    let flow = null;
    /** @type {number[] | null} */
    let outside = null;
    let readings;
    const [of, beside] = [cells.get("inside"), cells.get("outside")];
    const read = of ?? there(cells.get("particles") ?? cells.get("concentration"));
    if (of && beside && this.layout.byTurns) {
      kind = of.texts.map((text) => (stripped(text) ? MASK : AMBIENT));
      const texts = of.texts.map((text, row) => (stripped(text) ? text : (beside.texts[row] ?? "")));
      readings = this.#readings({ ...of, texts });
    } else {
      readings = this.#readings(read);
    }
    let { missing } = readings;
    if (beside && !this.layout.byTurns) {
      const other = this.#readings(beside);
      outside = other.values;
      missing = missing.map((one, row) => one || (other.missing[row] ?? false));
    }
    const flows = cells.get("flow_cm3_s");
    if (flows && !of) flow = this.#read("flow_cm3_s", flows);
    const { measure } = read.column;
    if (measure === "rate") flow = number.map(() => 1);
    const exercise = said.exercise.map((one, row) => (kind[row] === MASK || kind[row] === SWAPPED ? one : 0));
    return {
      number,
      seconds,
      kind,
      exercise,
      amount: readings.values,
      concentration: measure !== "particles",
      flow,
      outside,
      missing,
      dated,
      lengths: cells.has("start") ? lengths : null,
    };
  }

  /** The times of the rows, and whether they have dates or need none. */
  #seconds(/** @type {Map<Role, Cells>} */ cells, /** @type {number[] | null} */ lengths) {
    const times = cells.get("seconds") ?? cells.get("start");
    if (!times) return { seconds: (lengths ?? []).map((length) => (this.elapsed += length)), dated: true };
    if (!this.layout.clock) return { seconds: this.#read("seconds", times), dated: true };
    const dates = cells.get("date");
    const texts = dates ? times.texts.map((time, row) => `${stripped(dates.texts[row] ?? "")} ${stripped(time)}`) : times.texts;
    const found = clockSeconds(texts);
    this.#note(found.seconds.map(Number.isNaN), times, "no_time", { example: quoted(stripped(times.texts[0] ?? "")) });
    return found;
  }

  /** What each row is of, and the exercise. */
  #said(/** @type {Map<Role, Cells>} */ cells, /** @type {number} */ length) {
    const { atOnce } = this.layout;
    let kind = Array.from({ length }, () => /** @type {number} */ (atOnce ? MASK : AMBIENT));
    let exercise = Array.from({ length }, () => 0);
    const phase = cells.get("phase");
    if (phase) {
      const both = phase.texts.map((text) => this.#phase(text));
      if (this.layout.carried) this.#carry(phase, both);
      kind = both.map((one) => one.kind);
      exercise = both.map((one) => one.exercise);
      const known = atOnce ? LOGS.kinds : LOGS.kinds.slice(0, OF_ONE);
      this.#noteWords(kind.map((one) => one < 0), phase, "no_phase_word", known);
    }
    const done = cells.get("exercise");
    if (done) {
      const said = done.texts.map(exerciseOf);
      this.#noteWords(said.map((one) => one < 0), done, "no_exercise_word", LOGS.exercises);
      exercise = exercise.map((one, row) => ((said[row] ?? 0) > 0 ? (said[row] ?? 0) : one));
      if (atOnce && !phase) kind = kind.map((one, row) => ((exercise[row] ?? 0) > 0 ? one : PURGE)); // between exercises
    }
    return { kind, exercise };
  }

  /** Let a blank cell go on with the phase above it. */
  #carry(/** @type {Cells} */ phase, /** @type {{kind: number, exercise: number}[]} */ both) {
    for (const [row, text] of phase.texts.entries()) {
      if (stripped(text)) this.carried = both[row] ?? this.carried;
      else both[row] = this.carried;
    }
  }

  /** What a cell of a phase says, its kind negative for what is not understood. */
  #phase(/** @type {string} */ text) {
    const known = this.phases.get(text);
    if (known) return known;
    const said = saidPhase(text);
    let kind = said ? LOGS.kinds.indexOf(said.phase) : -1;
    if (this.layout.atOnce && kind === AMBIENT) kind = SAME_AIR; // both sensors in room air
    if (!this.layout.atOnce && kind >= OF_ONE) kind = kind === SAME_AIR ? PURGE : -1;
    const found = { kind, exercise: said && kind >= 0 ? LOGS.exercises.indexOf(said.exercise) : 0 };
    this.phases.set(text, found);
    return found;
  }

  /** The readings, and which rows have none. What stands there instead of a number is noted as odd. */
  #readings(/** @type {Cells} */ cells) {
    const { unit, form, measure, name } = cells.column;
    /** @type {Map<string, number[]>} */
    const odd = new Map();
    const note = (/** @type {string} */ remark, /** @type {number} */ place) =>
      odd.set(remark, [...(odd.get(remark) ?? []), cells.rows[place] ?? 0]);
    const missing = cells.texts.map(() => false);
    const values = this.#numbers(cells).map((value, place) => {
      if (Number.isFinite(value)) return value;
      const found = oddCell(bareNumber(cells.texts[place] ?? "", unit));
      if (!found) return value;
      note(found.remark, place);
      missing[place] = !found.number;
      return found.number ? numberOf(found.number, form) : 0;
    });
    if (measure !== "particles") {
      for (const [place, value] of values.entries()) {
        if (value < 0) {
          note("below_zero", place);
          values[place] = 0;
        }
      }
    }
    for (const [remark, rows] of odd) noteRemark(this.remarks, remark, rows);
    const first = missing.indexOf(true);
    if (first >= 0) {
      this.unread ??= {
        row: cells.rows[first] ?? 0,
        column: name,
        problem: logMessage("no_number", { value: quoted(cells.texts[first] ?? "") }),
        remedy: logMessage("no_number_remedy", exampleOf(cells.column)),
      };
    }
    this.read ||= missing.includes(false);
    return { values: this.#checked(roleOf(cells.column), cells, values), missing };
  }

  /** A column's numbers in the usual unit; what is none or cannot be meant is noted. */
  #read(/** @type {Role} */ role, /** @type {Cells} */ cells) {
    return this.#checked(role, cells, this.#numbers(cells));
  }

  #numbers(/** @type {Cells} */ { column, texts }) {
    return texts.map((text) => numberOf(bareNumber(text, column.unit), column.form));
  }

  #checked(/** @type {Role} */ role, /** @type {Cells} */ cells, /** @type {number[]} */ values) {
    const { measure, factor } = cells.column;
    const wrong = (/** @type {(value: number) => boolean} */ of) => values.map((value) => Number.isFinite(value) && of(value));
    this.#note(values.map((value) => !Number.isFinite(value)), cells, "no_number", exampleOf(cells.column));
    this.#note(wrong((value) => value < 0), cells, "negative");
    if (role === "particles" && measure === "particles") this.#note(wrong((value) => value % 1 !== 0), cells, "not_whole");
    if (role === "flow_cm3_s") this.#note(wrong((value) => value === 0), cells, "no_flow");
    const most = LOGS.most[role] ?? Infinity;
    const usual = values.map((value) => value * factor);
    const above = usual.map((value, row) => Number.isFinite(values[row]) && value > most);
    this.#note(above, cells, "too_large", { most: most.toExponential(0).replace(/\+(\d)$/, "+0$1") });
    return usual;
  }

  /**
   * Note a problem of some cells, once, by the first of them.
   * @param {boolean[]} wrong
   * @param {Cells} cells
   * @param {string} told
   * @param {import("./log-messages.js").Values} [values]
   */
  #note(wrong, cells, told, values = {}) {
    const first = wrong.indexOf(true);
    if (first < 0) return;
    const rows = cells.rows.filter((_, place) => wrong[place]);
    const problem = logMessage(told, { value: quoted(cells.texts[first] ?? ""), ...values });
    this.problems.addRepeated(rows, cells.column.name, problem, logMessage(`${told}_remedy`, values), told);
  }

  /** Note words that are not known, each once with all its rows. */
  #noteWords(
    /** @type {boolean[]} */ wrong,
    /** @type {Cells} */ cells,
    /** @type {string} */ told,
    /** @type {readonly string[]} */ known,
  ) {
    /** @type {Map<string, number[]>} */
    const rows = new Map();
    for (const [place, text] of cells.texts.entries()) {
      if (wrong[place]) rows.set(text, [...(rows.get(text) ?? []), cells.rows[place] ?? 0]);
    }
    for (const [text, of] of rows) {
      const word = nearest(plainWord(text), known);
      const remedy =
        word === undefined
          ? logMessage("known_remedy", { words: known.filter(Boolean).join(", ") })
          : logMessage("meant_remedy", { word });
      this.problems.addRepeated(of, cells.column.name, logMessage(told, { value: quoted(text) }), remedy);
    }
  }
}

/** The number of an exercise, negative for what is none. A phase in the column of exercises is no exercise. */
function exerciseOf(/** @type {string} */ text) {
  if (NO_EXERCISE.has(stripped(text))) return 0;
  const said = saidPhase(text);
  return said ? LOGS.exercises.indexOf(said.exercise) : -1;
}

function exampleOf(/** @type {LogColumn} */ { form }) {
  return { mark: form.decimal === "." ? logWords("point") : logWords("comma"), example: `12${form.decimal}5` };
}

/** @returns {"particles" | "concentration"} */
function roleOf(/** @type {LogColumn} */ { measure }) {
  return measure === "particles" || measure === "rate" ? "particles" : "concentration";
}

function there(/** @type {Cells | undefined} */ cells) {
  if (!cells) throw new Error("A layout has a column of times and one of readings.");
  return cells;
}
