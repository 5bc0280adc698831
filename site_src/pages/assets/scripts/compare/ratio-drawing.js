// One comparison over its wearers as a picture: what they say together, then a row each.
import { svg } from "../common/elements.js";
import { MUTED } from "../common/fit-axis.js";
import { count, say } from "../common/say.js";
import { onAxis } from "../common/scale.js";
import { drawing, HALO, ratioAxis, SIDE } from "./panels.js";
import { fittedAxis } from "./ratio-axis.js";

/** More wearers are drawn without their names, so that all of them stay on one screen. */
const MOST_NAMED = 16;
/** From this width on what a row is called stands left of its marks, and its figures right of them. */
export const BESIDE = 832;
const [LABELS, FIGURES] = [272, 256];
const ROW = 33;
const CLOSE = 8;
const DOT = 4.5;
const SMALL_DOT = 3.5;
const OUTLINES = { at_least: "-4,-5 5,0 -4,5", at_most: "4,-5 -5,0 4,5", mean: "-7,0 0,-7 7,0 0,7" };

/**
 * @typedef {import("./ratio-rows.js").Row} Row
 * @typedef {import("./panels.js").Panel} Panel
 */

/**
 * Draws a comparison `width` pixels wide.
 * @param {{together: Row[], each: Row[]}} rows
 * @param {number} width
 * @param {string} title
 */
export function ratioPicture(rows, width, title) {
  return drawing(width, [ratioPanel(rows, width)], title, say("ratios.legend"));
}

/**
 * @param {{together: Row[], each: Row[]}} rows
 * @param {number} width
 * @returns {Panel}
 */
export function ratioPanel({ together, each }, width) {
  const ends = together.flatMap(({ low, high }) => [low, high]).filter((end) => end !== null);
  const axis = fittedAxis([...[...together, ...each].map(({ value }) => value), ...ends]);
  const wide = width >= BESIDE;
  const [left, right] = wide ? [LABELS, width - FIGURES] : [SIDE, width - SIDE];
  const x = onAxis(axis, left, right);
  const named = each.length <= MOST_NAMED;
  const rows = [...together, ...(named ? each : [])];
  const crowd = named ? [] : each;
  const top = 4 + rows.length * ROW;
  const head = { x: SIDE, y: top + 13, "font-weight": 600, ...HALO };
  const bottom = top + (named ? 0 : 28 + CLOSE * crowd.length);
  const { shapes, height } = ratioAxis(x, axis.ticks, { bottom, width, middle: (left + right) / 2, name: say("ratios.axis") });
  return {
    shapes: [
      ...shapes,
      ...rows.flatMap((row, place) => [...marks(row, x, 4 + place * ROW + 25, DOT), ...words(row, 4 + place * ROW + (wide ? 29 : 13), width)]),
      ...(named ? [] : [svg("text", head, say("ratios.crowd", { wearers: count("wearer", each.length) }))]),
      ...crowd.flatMap((row, place) => marks(row, x, top + 28 + CLOSE * place, SMALL_DOT)),
    ],
    height: bottom + height,
  };
}

/**
 * @param {Row} row
 * @param {number} y
 * @param {number} width
 */
function words({ label, figures, kind }, y, width) {
  const bold = kind === "mean" || kind === "expected" ? { "font-weight": 600 } : {};
  const size = { "font-size": 12, ...HALO };
  return [
    svg("text", { x: SIDE, y, ...size, ...bold }, label),
    svg("text", { x: width - SIDE, y, "text-anchor": "end", ...size, ...MUTED }, figures),
  ];
}

/**
 * A ratio with its interval: a dot, a triangle for a limit, a diamond for all together, two ends for what is expected.
 * @param {Row} row
 * @param {(ratio: number) => number} x
 * @param {number} y
 * @param {number} dot
 * @returns {SVGElement[]}
 */
export function marks({ label, figures, value, low, high, kind }, x, y, dot) {
  const ink = kind === "mean" || kind === "expected" ? "var(--sb-ink)" : "var(--sb-changed)";
  const ends = [x(low ?? value), x(high ?? value)];
  const [from = 0, to = 0] = ends;
  const bar = svg("line", { x1: from, x2: to, y1: y, y2: y, stroke: ink, "stroke-width": 2 });
  if (kind === "expected") {
    return [bar, ...ends.map((end) => svg("line", { x1: end, x2: end, y1: y - 5, y2: y + 5, stroke: ink, "stroke-width": 2 }))];
  }
  const said = svg("title", {}, say("chart.labelled", { label, figures }));
  const look = { fill: ink, stroke: "var(--sb-paper)", "stroke-width": 1 };
  if (kind === "none") return [bar, svg("circle", { cx: x(value), cy: y, r: dot, ...look }, said)];
  return [bar, svg("polygon", { points: OUTLINES[kind], transform: `translate(${x(value)} ${y})`, ...look }, said)];
}
