// The first rows of a log under the names of their columns: what each column holds.
import { LOGS } from "../words/logs.js";
import { logMessage, quoted } from "./log-messages.js";
import { decidedMark, formOf, numberOf } from "./log-numbers.js";
import { cellsOf, isComment, stripped } from "./log-text.js";
import { nearest } from "./nearest-words.js";

/**
 * @typedef {import("./log-words.js").Measure} Measure
 *
 * @typedef {object} LogColumn
 * @property {number} place
 * @property {string} name
 * @property {Measure | null} measure
 * @property {number} factor
 * @property {import("./log-numbers.js").NumberForm} form
 */

const SHORT_NAME = 3;

/** The first rows of a log, and what can be asked of their columns. */
export class LogSample {
  constructor(/** @type {import("./log-header.js").LogHeader} */ header, /** @type {string[]} */ lines) {
    this.header = header;
    this.width = header.names.length;
    const rows = lines
      .filter((line) => stripped(line) && !isComment(line, header.delimiter))
      .map((line) => cellsOf(line.replace(/[\r\n]+$/, ""), header.delimiter))
      .filter((row) => row.length >= this.width - 1);
    this.places = header.names.map((_, place) => place);
    this.texts = this.places.map((place) => rows.map((row) => stripped(row[place] ?? "")));
    this.mark = decidedMark(this.texts.flat());
  }

  /**
   * Describe a column; `whole` says whether it counts, where its name does not.
   * @param {number} place
   * @param {boolean} [whole]
   * @returns {LogColumn}
   */
  column(place, whole) {
    const named = this.header.found[place];
    return {
      place,
      name: stripped(this.header.names[place] ?? "") || String(place + 1),
      measure: named?.measure ?? null,
      factor: named?.factor ?? 1,
      form: this.form(place, whole ?? named?.measure === "particles"),
    };
  }

  /** The form of the numbers in a column. */
  form(/** @type {number} */ place, /** @type {boolean} */ whole) {
    return formOf(this.cells(place), this.mark, whole);
  }

  /** Whether a column holds numbers. */
  numeric(/** @type {number} */ place) {
    const values = this.values(place);
    return values.length > 0 && values.filter(Number.isFinite).length >= LOGS.limits.mostly * values.length;
  }

  /** Whether a column holds numbers that do not fall, as times do. */
  increases(/** @type {number} */ place) {
    if (!this.numeric(place)) return false;
    const values = this.values(place);
    const rising = values.filter((value, at) => at > 0 && value - (values[at - 1] ?? NaN) >= 0).length;
    return rising >= LOGS.limits.mostly * (values.length - 1);
  }

  /**
   * What a column of readings holds: whole numbers are counts.
   * @param {number} place
   * @returns {Measure}
   */
  guessed(place) {
    const form = this.form(place, true);
    const values = this.cells(place).map((text) => numberOf(text, form));
    return values.every((value) => !Number.isFinite(value) || Number.isInteger(value)) ? "particles" : "concentration";
  }

  /** Whether something holds of most of a column's cells. */
  mostly(/** @type {number} */ place, /** @type {(text: string) => boolean} */ holds) {
    const texts = this.filled(place);
    return texts.length > 0 && texts.filter(holds).length / texts.length > LOGS.limits.mostly;
  }

  /** The cells of a column. */
  cells(/** @type {number} */ place) {
    return this.texts[place] ?? [];
  }

  /** The cells of a column that are not blank. */
  filled(/** @type {number} */ place) {
    return this.cells(place).filter(Boolean);
  }

  /** The numbers of a column in the cells that are not blank. */
  values(/** @type {number} */ place) {
    const form = this.form(place, false);
    return this.filled(place).map((text) => numberOf(text, form));
  }

  /**
   * Name the column that was probably meant.
   * @param {"seconds" | "particles"} column
   * @param {string} otherwise
   */
  remedy(column, otherwise) {
    const unknown = new Map(
      this.header.names
        .filter((_, place) => !this.header.found[place])
        .map((name) => [stripped(name).toLowerCase(), stripped(name)]),
    );
    for (const name of LOGS.words.columns[column] ?? []) {
      const near = name.length > SHORT_NAME ? nearest(name, unknown.keys()) : undefined;
      if (near !== undefined) return logMessage("meant_column_remedy", { column, name: quoted(unknown.get(near) ?? "") });
    }
    return otherwise;
  }
}
