// Up to six configurations in the order of the places that each may have, and who cannot be told from whom.
import { verdictsInList } from "../statistics/verdicts.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("../statistics/contrasts.js").Comparison} Comparison
 * @typedef {import("./measured.js").Shown} Shown
 * @typedef {import("./measured.js").Configuration} Configuration
 *
 * @typedef {Comparison & {i: number, j: number}} Pair two that are compared, by their places among those shown
 *
 * @typedef {object} Placed
 * @property {Configuration} configuration
 * @property {number} best the place it has if all that cannot be told from it stand below it
 * @property {number} worst the place it has if all of them stand above it
 * @property {Comparison | null} found its comparison with the first that was chosen; null of that one itself
 *
 * @typedef {object} League
 * @property {Placed[]} rows best place first
 * @property {number[][]} groups rows none of which can be told from another of them, two or more, as many as can be
 * @property {[number, number][]} told a row with one that stands surely below it
 * @property {[number, number][]} alike two rows that are about the same
 * @property {number} comparisons
 */

/**
 * Compares each with each on the wearers of both, the first with all others before the rest.
 * @param {Shown[]} shown the first chosen first
 * @param {import("./comparisons.js").Comparisons} comparisons
 * @returns {Promise<Pair[]>}
 */
export function pairsOf(shown, comparisons) {
  const pairs = shown.flatMap((a, i) => shown.slice(i + 1).map((b, place) => ({ a, b, i, j: i + 1 + place })));
  return Promise.all(pairs.map(async ({ a, b, i, j }) => ({ i, j, ...(await comparisons.compare(a.arms, b.arms)) })));
}

/**
 * Places each. A place counts those surely above and surely below: with all
 * comparisons right at once as often as the level of "likely" says (Holm), so are all places. Confidence sets for ranks:
 * Mogstad, Romano, Shaikh and Wilhelm, Rev. Econ. Stud. 2024;91:476.
 * @param {Shown[]} shown two or more, the first chosen first
 * @param {Pair[]} pairs each of them with each
 * @returns {League}
 */
export function leagueOf(shown, pairs) {
  const listed = verdictsInList(pairs);
  const isTold = (/** @type {Comparison} */ found) => found.p_value < LEVELS.beyond_likely && found.direction !== "none";
  const above = listed.filter(isTold).map(({ i, j, direction }) => (direction === "b-higher" ? [j, i] : [i, j]));
  const rows = shown.map(({ configuration }, place) => ({
    place,
    configuration,
    best: 1 + above.filter(([, below]) => below === place).length,
    worst: shown.length - above.filter(([higher]) => higher === place).length,
    found: pairs.find(({ i, j }) => i === 0 && j === place) ?? null,
  }));
  rows.sort((p, q) => p.best - q.best || p.worst - q.worst || lowest(q.found) - lowest(p.found) || p.place - q.place);
  const rank = new Map(rows.map(({ place }, row) => [place, row]));
  const ranked = (/** @type {number | undefined} */ place) => rank.get(place ?? -1) ?? 0;
  const told = above.map(([higher, lower]) => pair(ranked(higher), ranked(lower)));
  const alike = pairs
    .filter((found) => found.verdict === "alike")
    .map(({ i, j }) => pair(Math.min(ranked(i), ranked(j)), Math.max(ranked(i), ranked(j))));
  return { rows, groups: groupsOf(rows.length, told), told: sorted(told), alike: sorted(alike), comparisons: pairs.length };
}

/** @returns {[number, number]} */
function pair(/** @type {number} */ a, /** @type {number} */ b) {
  return [a, b];
}

function sorted(/** @type {[number, number][]} */ pairs) {
  return pairs.sort(([a, b], [c, d]) => a - c || b - d);
}

/** The lower limit of a ratio to the first; that one's own is 1. */
function lowest(/** @type {Comparison | null} */ found) {
  return found ? (found.low90 ?? 0) : 1;
}

/**
 * The largest sets of rows in which no two are told apart, of two rows and more, the highest row first.
 * @param {number} n
 * @param {[number, number][]} told
 */
export function groupsOf(n, told) {
  const apart = new Set(told.flatMap(([a, b]) => [`${a} ${b}`, `${b} ${a}`]));
  // Six rows have 64 sets.
  const rows = Array.from({ length: n }, (_, row) => row);
  const sets = Array.from({ length: 2 ** n }, (_, bits) => rows.filter((row) => bits & (1 << row)));
  const open = sets.filter((set) => set.length > 1 && set.every((a) => set.every((b) => !apart.has(`${a} ${b}`))));
  const isWithin = (/** @type {number[]} */ set, /** @type {number[]} */ other) => set.every((row) => other.includes(row));
  return open
    .filter((set) => !open.some((other) => other !== set && isWithin(set, other)))
    .sort((p, q) => (p[0] ?? 0) - (q[0] ?? 0) || (p.at(-1) ?? 0) - (q.at(-1) ?? 0) || p.length - q.length);
}
