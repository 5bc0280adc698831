// The picture of an evening: a row a configuration, each take a dot in order of time, on a logarithmic scale.
import { svg } from "../common/elements.js";
import { fit } from "../common/figures.js";
import { fitAxis, MUTED } from "../common/fit-axis.js";
import { say } from "../common/say.js";
import { scale, tenth } from "../common/scale.js";
import { wrapped } from "../common/wrapped.js";

const SIDE = 12;
const LABEL = 17;
const HEAD = 26;
const BAND = 30;
const GAP = 9;
const AXIS = 38;
const DOT = 6;
const CHARACTER = 7.4; // of the label, at most on average

/**
 * @typedef {{number: number, fitFactor: number, atLeast: boolean, counted: boolean, label: string}} Dot
 * @typedef {{label: string, sold: boolean, dots: Dot[]}} Row
 */

/** The end of the scale: the power of ten above all that was read. */
function topOf(/** @type {Row[]} */ rows) {
  const highest = Math.max(100, ...rows.flatMap(({ dots }) => dots.map(({ fitFactor }) => fitFactor)));
  return 10 ** Math.ceil(Math.log10(highest * 1.05));
}

/**
 * @param {Row[]} rows
 * @param {{width: number, title: string, head?: string[], lines?: string[]}} options `head` stands above, the first line
 *   of it in larger letters; `lines` stand below
 */
export function dotsPicture(rows, { width, title, head = [], lines = [] }) {
  const top = topOf(rows);
  const x = scale(top, width, SIDE);
  const most = Math.floor((width - 2 * SIDE) / CHARACTER);
  const above = head.flatMap((text, place) => wrapped(text, place ? most : Math.floor(most / 1.4)).map((line) => ({ line, first: place === 0 })));
  let bottom = 4 + above.reduce((sum, { first }) => sum + (first ? HEAD : LABEL), 0) + (above.length ? 8 : 0);
  const begin = bottom;
  const placed = rows.map((row) => {
    const labels = wrapped(row.label, most);
    const y = bottom + labels.length * LABEL + 2;
    const at = { ...row, labels, from: bottom, y };
    bottom = y + BAND + GAP;
    return at;
  });
  const below = lines.flatMap((text) => wrapped(text, most));
  const height = bottom + AXIS + below.length * LABEL + (below.length ? 8 : 0);
  return svg(
    "svg",
    { viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": title, "font-size": 13, fill: "var(--sb-ink)" },
    svg("rect", { width, height, fill: "var(--sb-paper)" }),
    ...above.map(({ line, first }, place) =>
      svg("text", { x: SIDE, y: 22 + place * LABEL + (place ? HEAD - LABEL : 0), ...(first ? { "font-size": 18, "font-weight": 600 } : MUTED) }, line),
    ),
    fitAxis(x, { from: begin, bottom, top, width, labels: 14, name: 31 }),
    ...placed.map((row) => rowOf(row, x)),
    ...below.map((line, place) => svg("text", { x: SIDE, y: bottom + AXIS + 14 + place * LABEL }, line)),
  );
}

/**
 * @param {Row & {labels: string[], from: number, y: number}} row
 * @param {(fitFactor: number) => number} x
 */
function rowOf({ labels, sold, dots, from, y }, x) {
  const colour = sold ? "var(--sb-sold)" : "var(--sb-changed)";
  const text = { x: SIDE, "font-weight": 600, stroke: "var(--sb-paper)", "stroke-width": 4, "paint-order": "stroke" };
  const counted = dots.filter((dot) => dot.counted).map(({ fitFactor }) => fitFactor);
  const middle = Math.exp(counted.reduce((sum, value) => sum + Math.log(value), 0) / counted.length);
  const mean = counted.length > 1 ? [x(middle)] : [];
  // Later takes stand lower, so that a drift shows and equal readings do not hide each other.
  const height = (/** @type {number} */ place) => tenth(y + DOT + ((BAND - 2 * DOT) * (place + 0.5)) / dots.length);
  return svg(
    "g",
    {},
    ...labels.map((line, place) => svg("text", { ...text, y: from + 13 + place * LABEL }, line)),
    ...mean.map((at) => svg("line", { x1: at, x2: at, y1: y, y2: y + BAND, stroke: colour, "stroke-width": 2 })),
    ...dots.map((dot, place) => mark(dot, x(dot.fitFactor), height(place), colour)),
  );
}

/**
 * A dot, a triangle that points to the right for a lower limit, a cross for what was set aside.
 * @param {Dot} dot
 * @param {number} cx
 * @param {number} cy
 * @param {string} colour
 */
function mark(dot, cx, cy, colour) {
  const said = svg("title", {}, say("bench_page.dot", { number: dot.number, figure: fit(dot.fitFactor, dot.atLeast), label: dot.label }));
  if (!dot.counted) {
    const d = `M${cx - 4} ${cy - 4}L${cx + 4} ${cy + 4}M${cx - 4} ${cy + 4}L${cx + 4} ${cy - 4}`;
    return svg("path", { d, stroke: "var(--sb-muted)", "stroke-width": 2, fill: "none" }, said);
  }
  const border = { fill: colour, stroke: "var(--sb-paper)", "stroke-width": 1 };
  if (!dot.atLeast) return svg("circle", { cx, cy, r: DOT, ...border }, said);
  const d = `M${cx - DOT} ${cy - DOT}L${cx + DOT + 1} ${cy}L${cx - DOT} ${cy + DOT}Z`;
  return svg("path", { d, ...border }, said);
}
