// The wearers of the database, as published for all: who tried what, on whom it passed, and who is near a face.
import { rowsFromColumns } from "./columns.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {{length: number, width: number}} Place mm
 *
 * @typedef {object} Wearer
 * @property {Place | null} place as measured or the middle of the cell; null where neither is known
 * @property {string} bridge "low", "medium", "high" or "unknown"
 * @property {Map<number, number[]>} readings by place of the configuration every fit factor, "at least" ones below 0
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
    wearers: rowsFromColumns(wearers).map(({ length, width, bridge, tried, passed, readings }) => ({
      bridge,
      readings: new Map(tried.map((place, k) => [place, readings[k] ?? []])),
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
 * The wearers near a place, and with a nose bridge near theirs where one is given.
 * @param {Wearer[]} wearers
 * @param {Place} to
 * @param {string} [bridge]
 */
export function near(wearers, to, bridge = "") {
  return wearers.filter((one) => {
    const { place } = one;
    if (!place) return false;
    const steps = LEVELS.bridge_mm * stepsBetween(one.bridge, bridge);
    return Math.hypot(place.length - to.length, place.width - to.width, steps) <= LEVELS.near_mm;
  });
}

const BRIDGES = ["low", "medium", "high"];

/** How far two nose bridges are apart; 0 where one is not known. */
function stepsBetween(/** @type {string} */ a, /** @type {string} */ b) {
  const [one, other] = [BRIDGES.indexOf(a), BRIDGES.indexOf(b)];
  return one < 0 || other < 0 ? 0 : Math.abs(one - other);
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
