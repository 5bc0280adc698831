// The wearers of the database, as published for all: who tried what, on whom it passed, and who is near a face.
import { rowsFromColumns } from "./columns.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {{length: number, width: number}} Place mm
 *
 * @typedef {object} Wearer
 * @property {Place | null} place as measured or the middle of the cell; null where neither is known
 * @property {Map<number, "1" | "0" | "?">} tried by place of the configuration whether the wearer's own median passes
 *
 * @typedef {object} People
 * @property {Published.PeopleConfiguration[]} configurations
 * @property {Map<string, number>} number place of each configuration
 * @property {Wearer[]} wearers
 *
 * @typedef {{wearers: number, known: number, passed: number}} Tried how many tried something, are known to pass or not, pass
 */

/**
 * @param {Published.People} published
 * @returns {People}
 */
export function readPeople({ configurations, wearers }) {
  const rows = rowsFromColumns(configurations);
  return {
    configurations: rows,
    number: new Map(rows.map(({ id }, place) => [id, place])),
    wearers: rowsFromColumns(wearers).map(({ length, width, tried, passed }) => ({
      place: length === null || width === null ? null : { length, width },
      tried: new Map(tried.map((place, k) => [place, /** @type {"1" | "0" | "?"} */ (passed.charAt(k))])),
    })),
  };
}

/**
 * Where a face lies: as measured, else in the middle of its cell; null for neither.
 * @param {{length: number | null, width: number | null, cell: string}} face
 * @param {Published.Cell[]} cells
 * @returns {Place | null}
 */
export function placeOf({ length, width, cell }, cells) {
  if (length && width) return { length, width };
  const found = cells.find(({ name }) => name === cell);
  return found
    ? { length: (found.length_low + found.length_high) / 2, width: (found.width_low + found.width_high) / 2 }
    : null;
}

/**
 * The wearers near a place.
 * @param {Wearer[]} wearers
 * @param {Place} to
 */
export function near(wearers, to) {
  return wearers.filter(
    ({ place }) => place && Math.hypot(place.length - to.length, place.width - to.width) <= LEVELS.near_mm,
  );
}

/**
 * What came of a configuration on some wearers.
 * @param {Wearer[]} wearers
 * @param {number} configuration
 * @returns {Tried}
 */
export function triedBy(wearers, configuration) {
  const marks = wearers.flatMap(({ tried }) => tried.get(configuration) ?? []);
  return {
    wearers: marks.length,
    known: marks.filter((mark) => mark !== "?").length,
    passed: marks.filter((mark) => mark === "1").length,
  };
}
