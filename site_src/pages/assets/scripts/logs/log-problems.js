// What is wrong with a log: each problem once, with its rows.
import { LOGS } from "../words/logs.js";
import { logWords } from "./log-messages.js";

/**
 * @typedef {object} Problem
 * @property {number} row the line in the file, 0 for the whole file
 * @property {string} column "" for the whole row
 * @property {string} problem
 * @property {string} remedy
 * @property {number} times
 * @property {number[]} also the first of the other rows
 */

/** A file in which nothing further can be read. */
export class LogError extends Error {
  /**
   * @param {number} row
   * @param {string} problem
   * @param {string} remedy
   */
  constructor(row, problem, remedy) {
    super(problem);
    this.row = row;
    this.remedy = remedy;
  }
}

/** Keeps the first few problems and counts the rest. */
export class LogProblems {
  constructor() {
    /** @type {Problem[]} */
    this.shown = [];
    this.total = 0;
    /** @type {Map<string, number>} */
    this.places = new Map();
  }

  /**
   * Note one problem.
   * @param {number} row
   * @param {string} column
   * @param {string} problem
   * @param {string} remedy
   */
  add(row, column, problem, remedy) {
    this.total += 1;
    if (this.shown.length < LOGS.limits.most_shown) {
      this.shown.push({ row, column, problem, remedy, times: 1, also: [] });
    }
  }

  /**
   * Note a problem of some rows, once, also where it was noted before: `cause` is what it has in common then.
   * @param {number[]} rows
   * @param {string} column
   * @param {string} problem
   * @param {string} remedy
   * @param {string} [cause]
   */
  addRepeated(rows, column, problem, remedy, cause = problem) {
    const [first, ...others] = rows;
    if (first === undefined) return;
    const key = JSON.stringify([column, cause, remedy]);
    const known = this.places.get(key);
    const place = known ?? this.shown.length;
    if (known === undefined) this.places.set(key, place);
    let left = rows;
    if (place === this.shown.length) {
      this.add(first, column, problem, remedy);
      left = others;
    }
    this.total += left.length;
    const noted = this.shown[place];
    if (left.length && noted) {
      noted.times += left.length;
      noted.also.push(...left.slice(0, Math.max(0, LOGS.limits.most_also - noted.also.length)));
    }
  }

  /** All of them by row, each with its rows in words. */
  sentences() {
    return [...this.shown]
      .sort((one, other) => one.row - other.row)
      .map((one) => ({ row: one.row, column: one.column, problem: sentence(one), remedy: one.remedy }));
  }
}

function sentence(/** @type {Problem} */ { problem, times, also }) {
  if (times === 1) return problem;
  const more = times - 1 - also.length;
  return logWords("same", { problem, rows: rowsNamed(also, more) });
}

/** Rows by their numbers, those that follow each other as a range. */
function rowsNamed(/** @type {number[]} */ rows, /** @type {number} */ more) {
  /** @type {{first: number, last: number}[]} */
  const parts = [];
  for (const row of rows) {
    const open = parts.at(-1);
    if (open && row === open.last + 1) open.last = row;
    else parts.push({ first: row, last: row });
  }
  const named = parts.map(({ first, last }) => 
    first === last ? String(first) : logWords("rows_from_to", { first, last }),
  );
  if (more) named.push(logWords("more_rows", { more }));
  const listed = [named.slice(0, -1).join(", "), named.at(-1)].filter(Boolean).join(logWords("and"));
  return rows.length + more > 1
    ? logWords("rows_named", { rows: listed })
    : logWords("row_named", { row: listed });
}
