// The explorer's rows: from the published columns, over chosen faces, filtered and sorted.
import { rowsFromColumns } from "../common/columns.js";

/**
 * @typedef {Published.Configuration & {tokens: string[], text: string, method: string, place: number,
 *   cell: string, bridge: string}} Row
 *   `tokens` are the changed parts, `text` is what the search looks in, `place` is the row's among all; `method` is that
 *   of the figures, "" for any, and `cell` and `bridge` are those of the faces they are over.
 */

/**
 * Values of the filter "change" that are no part; an underscore is in no part's id.
 * @type {Record<string, (row: Row) => boolean>}
 */
const ANY_HACK = { as_sold: (row) => row.parts === "", any_part: (row) => row.parts !== "" };

/**
 * What each column sorts by, and whether its first press puts the largest first.
 * @type {Record<string, {by: (row: Row) => string | number | null, falling: boolean}>}
 */
export const SORTS = {
  mask: { by: (row) => row.mask_label, falling: false },
  change: { by: (row) => row.change, falling: false },
  median: { by: (row) => row.median_fit_factor, falling: true },
  lowest: { by: (row) => row.lowest_fit_factor, falling: true },
  wearer_median: { by: (row) => row.wearer_median_fit_factor, falling: true },
  geometric_mean: { by: (row) => row.geometric_mean, falling: true },
  effect: { by: (row) => row.effect_low, falling: true },
  leakage: { by: (row) => row.til_percent, falling: false },
  // By the lower limit, as every list that begins with the best: 2 of 2 are not above 20 of 23.
  share: { by: (row) => row.share_at_100_low, falling: true },
  wearers: { by: (row) => row.wearers, falling: true },
  tests: { by: (row) => row.tests, falling: true },
};

/** What a change did was found over everybody. */
const UNKNOWN_EFFECT = { effect: "", effect_low: null };

const EVERY_PLACE = { has: () => true };

const collator = new Intl.Collator("en", { numeric: true });

/**
 * Joins the published columns.
 * @param {Published.Explorer} published
 * @returns {Row[]}
 */
export function rowsFrom({ configurations, labels }) {
  return rowsFromColumns(configurations).map((row, place) => {
    const tokens = row.parts.split("+").filter(Boolean);
    const parts = [...new Set([...tokens, row.straps])].filter(Boolean);
    const text = [
      row.id,
      row.mask_label,
      row.maker,
      row.change,
      labels.style[row.style],
      labels.mask_class[row.mask_class],
      ...parts.flatMap((token) => [labels.part[token], labels.slot[token]]),
    ];
    return { ...row, tokens, text: text.join("\n"), method: "", place, cell: "", bridge: "" };
  });
}

/**
 * The configurations that can be compared: those with a test that counts.
 * @param {Row[]} rows
 */
export function comparable(rows) {
  return new Set(rows.filter((row) => row.wearers > 0).map((row) => row.id));
}

/**
 * The rows that wearers of a face type have tried, by one method or any, every figure over those tests alone.
 * @param {Row[]} rows
 * @param {Published.FaceType} over
 * @param {string} method
 * @param {import("../common/face-type.js").FaceType} face
 */
export function overFaces(rows, over, method, face) {
  const figures = new Map(rowsFromColumns(over.configurations).map((own) => [own.id, own]));
  return rows.filter((row) => figures.has(row.id)).map((row) => ({ ...row, ...figures.get(row.id), ...UNKNOWN_EFFECT, method, ...face }));
}

/**
 * The rows that a state asks for, in its order.
 * @param {Row[]} rows
 * @param {import("./view-state.js").State} state
 * @param {{has: (place: number) => boolean}} named the places of the rows that the search finds
 */
export function view(rows, state, named = EVERY_PLACE) {
  const hack = ANY_HACK[state.hack] ?? ((row) => !state.hack || row.tokens.includes(state.hack));
  return inOrder(rows, state.sort).filter(
    (row) =>
      (!state.style || row.style === state.style) &&
      (!state.class || row.mask_class === state.class) &&
      (!state.straps || row.straps === state.straps) &&
      hack(row) &&
      row.wearers >= Number(state.wearers) &&
      named.has(row.place),
  );
}

/**
 * Rows in each order they were asked for in: a key typed changes which are found, not their order.
 * @type {WeakMap<Row[], Map<string, Row[]>>}
 */
const ordered = new WeakMap();

/**
 * @param {Row[]} rows
 * @param {string} sort
 */
function inOrder(rows, sort) {
  /** @type {Map<string, Row[]>} */
  const known = ordered.get(rows) ?? new Map();
  ordered.set(rows, known);
  const done = known.get(sort);
  if (done) return done;
  const by = SORTS[sort.replace("-", "")]?.by;
  const direction = sort.startsWith("-") ? -1 : 1;
  const sorted = by ? [...rows].sort((a, b) => compared(by(a), by(b), direction)) : rows;
  known.set(sort, sorted);
  return sorted;
}

/**
 * Which of two comes first. Rows without a figure come last in either order.
 * @param {string | number | null} left
 * @param {string | number | null} right
 * @param {1 | -1} direction
 */
function compared(left, right, direction) {
  if (left === null) return right === null ? 0 : 1;
  if (right === null) return -1;
  const bothNumbers = typeof left === "number" && typeof right === "number";
  return direction * (bothNumbers ? left - right : collator.compare(String(left), String(right)));
}
