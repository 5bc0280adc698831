// A drawing put together from panels, one below the other: each as wide as the drawing, as high as it needs.
import { svg } from "../common/elements.js";
import { figure } from "../common/figures.js";
import { MUTED, WIDE } from "../common/fit-axis.js";
import { say } from "../common/say.js";
import { wrapped } from "../common/wrapped.js";

export const SIDE = 14;
export const LINE_HEIGHT = 18;
/** Width of a letter of 13 pixels, at most on average. */
const LETTER = 7.4;
const AXIS = 46;
/** A border in the paper's colour keeps words readable over lines. */
export const HALO = { stroke: "var(--sb-paper)", "stroke-width": 4, "paint-order": "stroke" };

/**
 * @typedef {{shapes: SVGElement[], height: number}} Panel
 */

/**
 * Draws panels. Colours are the site's names for them.
 * @param {number} width
 * @param {Panel[]} panels
 * @param {string} [title] names the picture for screen readers
 * @param {string} [about] tells them how to read it
 */
export function drawing(width, panels, title = "", about = "") {
  let y = 0;
  const placed = panels.map(({ shapes, height }) => {
    const group = svg("g", { transform: `translate(0 ${y})` }, ...shapes);
    y += height;
    return group;
  });
  return svg(
    "svg",
    { viewBox: `0 0 ${width} ${y}`, width, height: y, role: "img", "aria-label": title, "font-size": 13, fill: "var(--sb-ink)" },
    ...(about ? [svg("desc", {}, about)] : []),
    svg("rect", { width, height: y, fill: "var(--sb-paper)" }),
    ...placed,
  );
}

/**
 * Lines of text.
 * @param {string[]} texts
 * @param {number} width
 * @param {{size?: number, bold?: boolean, muted?: boolean, above?: number}} [look]
 * @returns {Panel}
 */
export function textPanel(texts, width, { size = 13, bold = false, muted = false, above = 8 } = {}) {
  const height = Math.round(size * 1.4);
  const look = { "font-size": size, ...(bold ? { "font-weight": 600 } : {}), ...(muted ? MUTED : {}) };
  const lines = texts.flatMap((text) => wrapped(text, Math.floor((width - 2 * SIDE) / ((LETTER * size) / 13))));
  return {
    shapes: lines.map((line, place) => svg("text", { x: SIDE, y: above + size + place * height, ...look }, line)),
    height: above + lines.length * height,
  };
}

/**
 * Upright lines of an axis of ratios with their labels below them, the one of no difference told apart.
 * @param {(ratio: number) => number} x
 * @param {import("./ratio-axis.js").Tick[]} ticks
 * @param {{bottom: number, width: number, middle?: number, name: string}} place the width is that of the picture, the middle that of the axis
 * @returns {Panel}
 */
export function ratioAxis(x, ticks, { bottom, width, middle = width / 2, name }) {
  const shown = ticks.filter(({ minor }) => width > WIDE || !minor);
  const label = { y: bottom + 16, "text-anchor": "middle" };
  return {
    shapes: [
      ...shown
        .filter(({ value }) => value !== 1)
        .map(({ value }) => svg("line", { x1: x(value), x2: x(value), y1: 0, y2: bottom, stroke: "var(--sb-line)" })),
      svg("line", { x1: x(1), x2: x(1), y1: 0, y2: bottom, stroke: "var(--sb-pass)", "stroke-width": 2, "stroke-dasharray": "2 3" }),
      ...shown.map(({ value }) => svg("text", { x: x(value), ...label }, say("figure.times", { figure: figure(value) }))),
      svg("text", { x: middle, y: bottom + 36, "text-anchor": "middle", "font-size": 12, ...MUTED }, name),
    ],
    height: AXIS,
  };
}
