// The picture of a comparison: a row a configuration, every donning as a dot, each wearer's means joined.
import { svg } from "../common/elements.js";
import { fit } from "../common/figures.js";
import { fitAxis, fittedEnds } from "../common/fit-axis.js";
import { scale, tenth } from "../common/scale.js";
import { wrapped } from "../common/wrapped.js";
import { drawing, HALO, LINE_HEIGHT, SIDE } from "./panels.js";

const CHARACTER_WIDTH = 7.4; // of either text, at most on average
const AXIS_HEIGHT = 46;
const DOT = 4;

/**
 * @typedef {(fitFactor: number) => number} Scale
 * @typedef {Map<string, number>} Heights of each wearer within a row
 * @typedef {import("./measured.js").Shown & {lines: string[], labelY: number, y: number}} Placed a row with its place
 */

/**
 * Draws the rows `width` pixels wide.
 * @param {import("./measured.js").Shown[]} rows
 * @param {number} width
 * @param {string} title names the picture for screen readers
 */
export function picture(rows, width, title) {
  return drawing(width, [donningsPanel(rows, width)], title);
}

/**
 * The rows on a scale that just holds them.
 * @param {import("./measured.js").Shown[]} rows
 * @param {number} width
 * @returns {import("./panels.js").Panel}
 */
export function donningsPanel(rows, width) {
  const { low, top } = fittedEnds(rows.flatMap((row) => row.tests.map((test) => test.fit_factor)));
  const x = scale(top, width, SIDE, low);
  const wearers = [...new Set(rows.flatMap((row) => row.tests.map((test) => test.wearer)))].sort();
  const band = Math.min(96, Math.max(36, 9 * wearers.length));
  // A wearer keeps the same height in every row, so that the lines between rows do not cross for nothing.
  const heights = new Map(wearers.map((wearer, rank) => [wearer, (band * (rank + 0.5)) / wearers.length]));
  const perLine = Math.floor((width - 2 * SIDE) / CHARACTER_WIDTH);
  let bottom = 6;
  const placed = rows.map((row) => {
    const lines = wrapped(row.configuration.label, perLine);
    const y = bottom + lines.length * LINE_HEIGHT + 4;
    const labelled = { ...row, lines, labelY: bottom + 13, y };
    bottom = y + band + 12;
    return labelled;
  });
  return {
    shapes: [
      fitAxis(x, { from: 4, bottom, low, top, width, labels: 16, name: 36 }),
      ...threads(placed, x, heights),
      ...placed.map((row) => donnings(row, x, heights, band)),
    ],
    height: bottom + AXIS_HEIGHT,
  };
}

/**
 * For each wearer a line through the donnings of each row, and one through the geometric means from row to row.
 * @param {Placed[]} placed
 * @param {Scale} x
 * @param {Heights} heights
 */
function threads(placed, x, heights) {
  return [...heights].map(([wearer, offset]) => {
    const rows = placed.flatMap((row) => {
      const values = row.tests.filter((test) => test.wearer === wearer).map((test) => test.fit_factor);
      return values.length ? [{ values, y: tenth(row.y + offset) }] : [];
    });
    const within = rows.map(({ values, y }) => `M${x(Math.min(...values))} ${y}H${x(Math.max(...values))}`);
    const across = rows.map(({ values, y }, place) => `${place ? "L" : "M"}${x(geometricMean(values))} ${y}`);
    const d = [...within, ...across].join("");
    return svg("path", { d, fill: "none", stroke: "var(--sb-thread)", "stroke-width": 1.5 });
  });
}

function geometricMean(/** @type {number[]} */ values) {
  return Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length);
}

/**
 * One row: its label, the range, the median and a dot for each donning, by wearer.
 * @param {Placed} row
 * @param {Scale} x
 * @param {Heights} heights
 * @param {number} band
 */
function donnings({ configuration, tests, figures, lines, labelY, y }, x, heights, band) {
  const colour = configuration.sold ? "var(--sb-sold)" : "var(--sb-changed)";
  const [low, median, high] = [x(figures.lowest_fit_factor), x(figures.median_fit_factor), x(figures.highest_fit_factor)];
  const wearers = [...new Set(tests.map((test) => test.wearer))];
  const byWearer = wearers.flatMap((wearer) => tests.filter((test) => test.wearer === wearer));
  const text = { x: SIDE, "font-weight": 600, ...HALO };
  return svg(
    "g",
    { class: "sb-compare__row" },
    ...lines.map((line, i) => svg("text", { ...text, y: labelY + i * LINE_HEIGHT }, line)),
    svg("rect", { x: low, y, width: tenth(high - low), height: band, fill: colour, "fill-opacity": 0.12 }),
    svg("line", { x1: median, x2: median, y1: y, y2: tenth(y + band), stroke: "var(--sb-ink)", "stroke-width": 3 }),
    ...byWearer.map((test) => mark(test, x(test.fit_factor), tenth(y + (heights.get(test.wearer) ?? 0)), colour)),
  );
}

/**
 * A dot, or a triangle that points to the right for a lower limit.
 * @param {Published.Donning} test
 * @param {number} cx
 * @param {number} cy
 * @param {string} colour
 */
function mark(test, cx, cy, colour) {
  const said = svg("title", {}, `${fit(test.fit_factor, test.at_least === 1)}, ${test.wearer}`);
  const border = { fill: colour, stroke: "var(--sb-paper)", "stroke-width": 1 };
  if (!test.at_least) return svg("circle", { cx, cy, r: DOT, ...border }, said);
  const d = `M${cx - DOT} ${cy - DOT - 1}L${cx + DOT + 1} ${cy}L${cx - DOT} ${cy + DOT + 1}Z`;
  return svg("path", { d, ...border }, said);
}
