// A league as a picture: a row each with its interval, and lines at the right that join who cannot be told apart.
import { svg } from "../common/elements.js";
import { MUTED } from "../common/fit-axis.js";
import { count, say } from "../common/say.js";
import { onAxis } from "../common/scale.js";
import { wrapped } from "../common/wrapped.js";
import { namesOf, rowWords } from "./league-words.js";
import { drawing, HALO, LINE_HEIGHT, ratioAxis, SIDE } from "./panels.js";
import { fittedAxis } from "./ratio-axis.js";
import { BESIDE, marks } from "./ratio-drawing.js";

const LANE = 14;
/** Width of a letter of a name and of a figure, at most on average. */
const [LETTER, SMALL] = [7.6, 6.8];
const DOT = 4.5;
/** Width of names and figures where they stand beside the marks. */
const LABELS = 308;

/**
 * @typedef {import("./league.js").League} League
 * @typedef {import("./ratio-rows.js").Kind} Kind
 */

/**
 * Draws a league `width` pixels wide.
 * @param {League} league
 * @param {number} width
 */
export function leaguePicture(league, width) {
  const title = say("league.picture", { configurations: count("configuration", league.rows.length) });
  return drawing(width, [leaguePanel(league, width)], title);
}

/**
 * @param {League} league
 * @param {number} width
 * @returns {import("./panels.js").Panel}
 */
export function leaguePanel(league, width) {
  const right = width - SIDE - LANE * league.groups.length;
  const known = league.rows.flatMap(({ found }) => (found?.ratio ? [found] : []));
  const ends = known.flatMap(({ ratio, low90, high90 }) => [ratio, low90, high90]).filter((end) => end !== null);
  const axis = fittedAxis(ends);
  const wide = width >= BESIDE;
  const left = wide ? LABELS : SIDE;
  const room = (wide ? LABELS : right) - SIDE;
  const x = onAxis(axis, left, right);
  const names = namesOf(league);
  let bottom = 4;
  const heights = league.rows.map(() => 0);
  const rows = league.rows.map((row, place) => {
    const lines = wrapped(names[place] ?? "", Math.floor(room / LETTER));
    const figures = wrapped(rowWords(row), Math.floor(room / SMALL));
    const text = { x: SIDE, ...HALO };
    const words = [
      ...lines.map((line, n) => svg("text", { ...text, "font-weight": 600, y: bottom + 13 + n * LINE_HEIGHT }, line)),
      ...figures.map((line, n) =>
        svg("text", { ...text, "font-size": 12, ...MUTED, y: bottom + 12 + (lines.length + n) * LINE_HEIGHT }, line),
      ),
    ];
    const high = (lines.length + figures.length) * LINE_HEIGHT;
    const y = bottom + (wide ? high / 2 : high + 8);
    heights[place] = y;
    bottom += high + (wide ? 14 : 22);
    return svg("g", { class: "sb-compare__placed" }, ...bar(row, x, y), ...words);
  });
  const { shapes, height } = ratioAxis(x, axis.ticks, { bottom, width, middle: (left + right) / 2, name: say("league.axis") });
  return { shapes: [...shapes, ...rows, ...league.groups.map((group, lane) => join(group, heights, right + LANE * (lane + 0.75)))], height: bottom + height };
}

/**
 * The interval of a row's ratio to the first, a ring for that one itself, nothing where there is no ratio.
 * @param {import("./league.js").Placed} row
 * @param {(ratio: number) => number} x
 * @param {number} y
 */
function bar({ found }, x, y) {
  if (!found) return [svg("circle", { cx: x(1), cy: y, r: DOT, fill: "var(--sb-paper)", stroke: "var(--sb-sold)", "stroke-width": 3 })];
  if (found.ratio === null) return [];
  const kind = /** @type {Kind} */ (found.bound === "both" ? "none" : found.bound);
  return marks({ label: "", figures: "", value: found.ratio, low: found.low90, high: found.high90, kind }, x, y, DOT);
}

/**
 * An upright line with a dot at each row that it joins.
 * @param {number[]} group
 * @param {number[]} heights
 * @param {number} x
 */
function join(group, heights, x) {
  const at = group.map((row) => heights[row] ?? 0);
  const line = { x1: x, x2: x, y1: Math.min(...at), y2: Math.max(...at), stroke: "var(--sb-sold)", "stroke-width": 3 };
  return svg(
    "g",
    { class: "sb-compare__join" },
    svg("line", line),
    ...at.map((cy) => svg("circle", { cx: x, cy, r: 4.5, fill: "var(--sb-sold)" })),
  );
}
