// From the lines of a log, whose layout is known, to rows of numbers, with every problem at its row and column.
import { LOGS } from "../words/logs.js";
import { counted, logMessage, quoted } from "./log-messages.js";
import { numberOf } from "./log-numbers.js";
import { rowChunks, stripped, taken } from "./log-text.js";
import { clockSeconds, Midnights } from "./log-times.js";
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
    this.midnights = new Midnights();
    this.elapsed = 0;
    /** @type {{kind: number, exercise: number}} */
    this.carried = { kind: AMBIENT, exercise: 0 };
    /** @type {Map<string, {kind: number, exercise: number}>} */
    this.phases = new Map();
  }

  /**
   * The rows of a whole file.
   * @param {Iterator<string>} lines
   * @returns {Generator<Rows>}
   */
  *rows(lines) {
    const { above, delimiter, columns } = this.layout;
    taken(lines, above);
    for (const read of rowChunks(lines, delimiter, above + 1)) {
      const { numbers, rows } = this.#whole(read);
      if (!rows.length) continue;
      /** @type {Map<Role, Cells>} */
      const cells = new Map();
      for (const [role, column] of columns) {
        cells.set(role, { column, texts: rows.map((row) => row[column.place] ?? ""), rows: numbers });
      }
      const made = this.#chunk(numbers, cells);
      if (!this.problems.total) yield made;
    }
  }

  /** Note the rows that lack a column that is read, or have more values than the header has names. */
  #whole(/** @type {import("./log-text.js").RowChunk} */ chunk) {
    const { width, columns } = this.layout;
    const needed = Math.max(...[...columns.values()].map(({ place }) => place)) + 1;
    /** @type {import("./log-text.js").RowChunk} */
    const kept = { numbers: [], rows: [] };
    for (const [place, cells] of chunk.rows.entries()) {
      const number = chunk.numbers[place] ?? 0;
      if (cells.length === width || (cells.length >= needed && !cells.slice(width).some(stripped))) {
        kept.numbers.push(number);
        kept.rows.push(cells);
      } else if (cells.some(stripped)) {
        const problem = logMessage("width", { values: counted(cells.length, "value"), width });
        this.problems.addRepeated([number], "", problem, logMessage("width_remedy"));
      }
    }
    return kept;
  }

  /** @returns {Rows} */
  #chunk(/** @type {number[]} */ number, /** @type {Map<Role, Cells>} */ cells) {
    const seconds = this.#seconds(cells);
    const said = this.#said(cells, number.length);
    let { kind } = said;
    /** @type {number[] | null} */
    let flow = null;
    /** @type {number[] | null} */
    let outside = null;
    let amount;
    let measure;
    const [of, beside] = [cells.get("inside"), cells.get("outside")];
    if (of && beside) {
      ({ measure } = of.column);
      if (this.layout.byTurns) {
        kind = of.texts.map((text) => (stripped(text) ? MASK : AMBIENT));
        const texts = of.texts.map((text, row) => (stripped(text) ? text : (beside.texts[row] ?? "")));
        amount = this.#read(roleOf(of.column), { ...of, texts });
      } else {
        amount = this.#read(roleOf(of.column), of);
        outside = this.#read(roleOf(beside.column), beside);
      }
    } else {
      const role = cells.has("particles") ? "particles" : "concentration";
      const read = there(cells.get(role));
      ({ measure } = read.column);
      amount = this.#read(role, read);
      const flows = cells.get("flow_cm3_s");
      if (flows) flow = this.#read("flow_cm3_s", flows);
    }
    if (measure === "rate") flow = number.map(() => 1);
    const exercise = said.exercise.map((one, row) => (kind[row] === MASK || kind[row] === SWAPPED ? one : 0));
    return { number, seconds, kind, exercise, amount, concentration: measure !== "particles", flow, outside };
  }

  #seconds(/** @type {Map<Role, Cells>} */ cells) {
    const lengths = cells.get("duration");
    if (lengths) {
      return this.#read("duration", lengths).map((length) => (this.elapsed += length));
    }
    const times = there(cells.get("seconds"));
    if (!this.layout.clock) return this.#read("seconds", times);
    const dates = cells.get("date");
    const texts = dates ? times.texts.map((time, row) => `${stripped(dates.texts[row] ?? "")} ${stripped(time)}`) : times.texts;
    const { seconds, dated } = clockSeconds(texts);
    this.#note(seconds.map(Number.isNaN), times, "no_time", { example: quoted(stripped(times.texts[0] ?? "")) });
    return dated ? seconds : this.midnights.unrolled(seconds);
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

  /** A column's numbers in the usual unit; what is none or cannot be meant is noted. */
  #read(/** @type {Role} */ role, /** @type {Cells} */ cells) {
    const { form, measure, factor } = cells.column;
    const values = cells.texts.map((text) => numberOf(text, form));
    const mark = form.decimal === "." ? "point" : "comma";
    const wrong = (/** @type {(value: number) => boolean} */ of) => values.map((value) => Number.isFinite(value) && of(value));
    this.#note(values.map((value) => !Number.isFinite(value)), cells, "no_number", { mark, example: `12${form.decimal}5` });
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

/** @returns {"particles" | "concentration"} */
function roleOf(/** @type {LogColumn} */ { measure }) {
  return measure === "particles" || measure === "rate" ? "particles" : "concentration";
}

function there(/** @type {Cells | undefined} */ cells) {
  if (!cells) throw new Error("A layout has a column of times and one of readings.");
  return cells;
}
