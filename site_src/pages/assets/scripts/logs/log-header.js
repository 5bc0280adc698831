// The row of a log that names its columns, or what stands for it.
import { LOGS } from "../words/logs.js";
import { decidedMark, numberOf } from "./log-numbers.js";
import { ALIGNED, cellsOf, isComment, stripped } from "./log-text.js";
import { isClock } from "./log-times.js";
import { namedColumn, saidPhase, unitFactor } from "./log-words.js";

/**
 * @typedef {object} LogHeader the names of the columns
 * @property {number} line the line that names them, 0 where none does
 * @property {number} above lines over the first row
 * @property {string} delimiter
 * @property {string[]} names
 * @property {(import("./log-words.js").NamedColumn | null)[]} found
 */

const DELIMITERS = [",", ";", "\t", "|", ALIGNED, " "];
const NO_UNIT = new Set(["", "-", "–", "[]", "()", "[-]", "(-)", "[–]", "(–)"]);
const BELOW = 4;

/**
 * The header, or a table that has none for one without names; null for neither.
 * @param {string[]} lines
 */
export function findHeader(lines) {
  return headerIn(lines) ?? noHeader(lines);
}

/** The line that names most columns, with any delimiter; the first of those that do. */
function headerIn(/** @type {string[]} */ lines) {
  /** @type {LogHeader | null} */
  let best = null;
  let most = 1;
  for (const delimiter of DELIMITERS) {
    for (const [place, line] of lines.slice(0, LOGS.limits.header_within).entries()) {
      if (!stripped(line) || (delimiter === " " && line.length > LOGS.limits.longest_of_words)) continue;
      for (const { above, names } of candidates(lines, place, delimiter)) {
        const found = names.map((name) => namedColumn(name));
        const roles = new Set(found.flatMap((named) => (named ? [named.role] : [])));
        if (roles.size <= 1) continue;
        const score = scoreOf(roles.size, lines.slice(above, above + BELOW), delimiter, names);
        if (score > most) [best, most] = [{ line: place + 1, above, delimiter, names, found }, score];
      }
    }
  }
  return best && withUnits(best, lines[best.above]);
}

/** The names in two lines of words, one above the other, and those in the first, with the lines down to them. */
function candidates(/** @type {string[]} */ lines, /** @type {number} */ place, /** @type {string} */ delimiter) {
  const names = namesOf(lines[place] ?? "", delimiter);
  const found = [];
  const next = lines[place + 1];
  const below = next === undefined || delimiter === " " ? [] : namesOf(next, delimiter);
  if (names.length > 1 && names.length === below.length && ![...names, ...below].some((cell) => /^\p{Nd}/u.test(cell))) {
    found.push({ above: place + 2, names: names.map((name, column) => stripped(`${name} ${below[column] ?? ""}`)) });
  }
  return [...found, { above: place + 1, names }];
}

/** The header with the units of a row of their own below it. */
function withUnits(/** @type {LogHeader} */ header, /** @type {string | undefined} */ line) {
  const written = line === undefined ? [] : namesOf(line, header.delimiter);
  const units = written.map((unit) => (NO_UNIT.has(stripped(unit)) ? "" : unit));
  if (units.length <= 1 || units.length > header.names.length || !units.some(Boolean)) return header;
  if (!units.every((unit) => !unit || unitFactor(unit))) return header;
  const found = header.names.map((name, place) => namedColumn(name, units[place] ?? "") ?? namedColumn(name));
  return { ...header, above: header.above + 1, found };
}

/** The roles of a header; rows that suit it count too. */
function scoreOf(
  /** @type {number} */ roles,
  /** @type {string[]} */ below,
  /** @type {string} */ delimiter,
  /** @type {string[]} */ names,
) {
  const width = names.length;
  const off = delimiter === " " ? 0 : 1;
  const widths = below
    .filter((line) => stripped(line) && !isComment(line, delimiter))
    .map((line) => cellsOf(line, delimiter).length);
  if (!widths.some((cells) => Math.abs(cells - width) <= off)) return delimiter === " " ? 0 : roles;
  // Tabs that leave a column without a name may be there to align.
  const all = widths.every((cells) => cells === width) && !(delimiter === "\t" && names.includes(""));
  return roles + LOGS.limits.fits + (all ? LOGS.limits.fits_all : 0);
}

/** @returns {LogHeader | null} a table without names, whose rows hold a number or a time in each of some cells */
function noHeader(/** @type {string[]} */ lines) {
  for (const delimiter of DELIMITERS) {
    for (const [place, line] of lines.slice(0, LOGS.limits.header_within).entries()) {
      if (!stripped(line) || isComment(line, delimiter)) continue;
      const cells = cellsOf(line, delimiter).map(stripped);
      const decimal = decidedMark(cells) ?? ".";
      const numeric = cells.filter((cell) => isClock(cell) || numberOf(cell, { decimal, thousands: false }) >= 0).length;
      const said = cells.filter((cell) => saidPhase(cell)).length;
      const blank = cells.filter((cell) => !cell).length;
      if (cells.length > 1 && numeric > 1 && numeric + said + blank === cells.length) {
        return { line: 0, above: place, delimiter, names: cells.map(() => ""), found: cells.map(() => null) };
      }
    }
  }
  return null;
}

/** A header cut into names; it may be written as a remark. */
function namesOf(/** @type {string} */ line, /** @type {string} */ delimiter) {
  const remark = isComment(line, delimiter) && !line.startsWith(`#${delimiter}`);
  return cellsOf((remark ? line.replace(/^[#%!/ ]+/, "") : line).replace(/[\r\n]+$/, ""), delimiter);
}
