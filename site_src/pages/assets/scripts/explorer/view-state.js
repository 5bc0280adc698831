// What the explorer shows ↔ its address: two inverse functions. The address also holds what is
// chosen to be compared, written as on the page that compares.
import { queryOf as queryOfChosen } from "../compare/choice.js";

/**
 * @typedef {object} State "" where nothing is chosen.
 * @property {string} q search text
 * @property {string} style
 * @property {string} class
 * @property {string} straps the part in effect, as sold or changed
 * @property {string} hack a changed part, or one of ANY_HACK
 * @property {string} cell
 * @property {string} bridge
 * @property {string} method how it was measured
 * @property {string} near the reader's face, where only people near it count; in an address only of a link that was copied
 * @property {string} wearers least number of wearers
 * @property {string} sort column, "-" before it for falling order
 * @property {string} columns of figures, "." between them; "" for those of the beginning
 */

/** @typedef {keyof State} Key */
/** @typedef {{key: Key, value: string}} Ignored what an address asks for and this page does not have */

/** @type {Readonly<State>} */
export const EVERYTHING = Object.freeze({
  q: "",
  style: "",
  class: "",
  straps: "",
  hack: "",
  cell: "",
  bridge: "",
  method: "",
  near: "",
  wearers: "",
  sort: "-share",
  columns: "",
});

/** The keys in the order they have in an address. */
const KEYS = /** @type {Key[]} */ (Object.keys(EVERYTHING));

/** The keys with a field among the filters. @type {Key[]} */
const FILTERS = ["style", "class", "straps", "hack", "cell", "bridge", "method", "near", "wearers"];

/**
 * Reads a query string. Values that are not allowed are left out and named.
 * @param {string} query
 * @param {Partial<Record<Key, {has: (value: string) => boolean}>>} allowed the values of each key that has a list of them
 * @returns {{state: State, ignored: Ignored[]}}
 */
export function stateFrom(query, allowed) {
  const state = { ...EVERYTHING };
  /** @type {Ignored[]} */
  const ignored = [];
  for (const [name, value] of new URLSearchParams(query)) {
    const key = KEYS.find((other) => other === name);
    if (!key || value === "") continue;
    const known = key === "wearers" ? /^[1-9]\d{0,3}$/.test(value) : (allowed[key]?.has(value) ?? true);
    if (known) state[key] = value;
    else ignored.push({ key, value });
  }
  return { state, ignored };
}

/**
 * Writes the query string of a state, "" for everything; the keys always come in the same order.
 * @param {State} state
 * @param {string[]} [chosen] ids of configurations to compare
 */
export function queryOf(state, chosen = []) {
  const set = KEYS.filter((key) => state[key] !== EVERYTHING[key]);
  const shown = new URLSearchParams(set.map((key) => [key, state[key]])).toString();
  const query = [shown, queryOfChosen(chosen).slice(1)].filter(Boolean).join("&");
  return query && `?${query}`;
}

/**
 * Counts the filters that are set.
 * @param {State} state
 */
export function filtersSet(state) {
  return FILTERS.filter((key) => state[key] !== EVERYTHING[key]).length;
}
