// The first rows of a log under the names of their columns: what each column holds.
import { LOGS } from "../words/logs.js";
import { bareNumber, oddCell, unitBehind } from "./log-cells.js";
import { logMessage, quoted } from "./log-messages.js";
import { decidedMark, formOf, numberOf } from "./log-numbers.js";
import { cellsOf, isComment, stripped } from "./log-text.js";
import { clockSeconds, isClock } from "./log-times.js";
import { namedColumn } from "./log-words.js";
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
 * @property {string} unit what stands behind the numbers in the cells
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
    const texts = this.places.map((place) => rows.map((row) => stripped(row[place] ?? "")));
    this.units = texts.map(unitOf);
    this.texts = texts.map((column, place) => column.map((text) => bareNumber(text, this.units[place] ?? "")));
    this.found = header.found.map((named, place) => {
      const unit = this.units[place];
      return unit ? (namedColumn(header.names[place] ?? "", unit) ?? named) : named;
    });
    this.mark = decidedMark(this.texts.flat());
  }

  /**
   * Describe a column; `whole` says whether it counts, where its name does not.
   * @param {number} place
   * @param {boolean} [whole]
   * @returns {LogColumn}
   */
  column(place, whole) {
    const named = this.found[place] ?? null;
    return {
      place,
      name: stripped(this.header.names[place] ?? "") || String(place + 1),
      measure: named?.measure ?? null,
      factor: named?.factor ?? 1,
      form: this.form(place, whole ?? named?.measure === "particles"),
      unit: this.units[place] ?? "",
    };
  }

  /** The form of the numbers in a column. */
  form(/** @type {number} */ place, /** @type {boolean} */ whole) {
    return formOf(this.cells(place), this.mark, whole);
  }

  /** Whether a column holds numbers, or what stands for one that is missing. */
  numeric(/** @type {number} */ place) {
    const values = this.values(place, this.filled(place).filter((text) => !oddCell(text)));
    return values.length > 0 && values.filter(Number.isFinite).length >= LOGS.limits.mostly * values.length;
  }

  /** Whether a column holds numbers that do not fall, as times do. */
  increases(/** @type {number} */ place) {
    if (!this.numeric(place)) return false;
    const steps = stepsOf(this.values(place, this.filled(place)));
    return steps.filter((step) => step >= 0).length >= LOGS.limits.mostly * steps.length;
  }

  /** Whether a column holds numbers, or clock times, of which each is below the one before. */
  falls(/** @type {number} */ place) {
    const texts = this.filled(place);
    const values = this.mostly(place, isClock) ? clockSeconds(texts).seconds : this.values(place, texts);
    const steps = stepsOf(values);
    return texts.length > LOGS.limits.few_rows && steps.filter((step) => step < 0).length >= LOGS.limits.mostly * steps.length;
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

  /** The numbers in some cells of a column. */
  values(/** @type {number} */ place, /** @type {string[]} */ texts) {
    const form = this.form(place, false);
    return texts.map((text) => numberOf(text, form));
  }

  /**
   * Name the column that was probably meant.
   * @param {"seconds" | "particles"} column
   * @param {string} otherwise
   */
  remedy(column, otherwise) {
    const unknown = new Map(
      this.header.names
        .filter((_, place) => !this.found[place])
        .map((name) => [stripped(name).toLowerCase(), stripped(name)]),
    );
    for (const name of LOGS.words.columns[column] ?? []) {
      const near = name.length > SHORT_NAME ? nearest(name, unknown.keys()) : undefined;
      if (near !== undefined) return logMessage("meant_column_remedy", { column, name: quoted(unknown.get(near) ?? "") });
    }
    return otherwise;
  }
}

function stepsOf(/** @type {number[]} */ values) {
  return values.slice(1).map((value, place) => value - (values[place] ?? NaN));
}

/** The unit that stands behind the numbers in most cells of a column; "" for none. */
function unitOf(/** @type {string[]} */ column) {
  const texts = column.filter(Boolean);
  /** @type {Map<string, number>} */
  const units = new Map();
  for (const unit of texts.slice(0, LOGS.limits.few_rows).map(unitBehind).filter(Boolean)) {
    units.set(unit, (units.get(unit) ?? 0) + 1);
  }
  const most = Math.max(...units.values());
  const [unit = ""] = [...units].find(([, times]) => times === most) ?? [];
  const behind = texts.filter((text) => unitBehind(text) === unit).length;
  return unit && behind > LOGS.limits.mostly * texts.length ? unit : "";
}
