// The small picture in a table row: median and range on a log scale, the line at fit factor 100 marked.
// The same picture that the builder draws.
import { PASS_LEVEL } from "../statistics/summary.js";

const SVG = "http://www.w3.org/2000/svg";
const WIDTH = 160;
const HEIGHT = 18;
const MARGIN = 5;
const MIDDLE = HEIGHT / 2;

/**
 * Draws one row on a scale from 1 to `top`; null without tests. The row's cells say the same in figures.
 * @param {import("../statistics/summary.js").Figures} figures
 * @param {number} top
 */
export function strip(figures, top) {
  if (figures.median_fit_factor === null) return null;
  const x = (/** @type {number} */ fitFactor) => {
    const share = Math.log(Math.max(fitFactor, 1)) / Math.log(top);
    return Number((MARGIN + share * (WIDTH - 2 * MARGIN)).toFixed(1));
  };
  const [low, middle, high] = [figures.lowest_fit_factor, figures.median_fit_factor, figures.highest_fit_factor].map(x);
  const pass = x(PASS_LEVEL);
  const svg = element("svg", "sb-strip", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, "aria-hidden": "true" });
  svg.append(
    element("path", "sb-strip__base", { d: `M${MARGIN} ${MIDDLE}H${WIDTH - MARGIN}` }),
    element("path", "sb-strip__pass", { d: `M${pass} 1V${HEIGHT - 1}` }),
    element("path", "sb-strip__range", { d: `M${low} ${MIDDLE}H${high}` }),
  );
  if (figures.highest_at_least) {
    svg.append(element("path", "sb-strip__more", { d: `M${high - 3} ${MIDDLE - 4}l5 4-5 4` }));
  }
  const dot = figures.median_at_least ? "sb-strip__dot sb-strip__dot--open" : "sb-strip__dot";
  svg.append(element("circle", dot, { cx: middle, cy: MIDDLE, r: 4 }));
  return svg;
}

/**
 * @param {string} name
 * @param {string} className
 * @param {Record<string, string | number>} attributes
 */
function element(name, className, attributes) {
  const made = document.createElementNS(SVG, name);
  made.setAttribute("class", className);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  return made;
}
