// The small picture in a table row: median and range on a log scale, the line at the level to reach marked.
// The same picture that the builder draws.
import { svg } from "../common/elements.js";
import { PASS_LEVEL, scale } from "../common/scale.js";

const WIDTH = 160;
const HEIGHT = 18;
const MARGIN = 5;
const MIDDLE = HEIGHT / 2;

/**
 * Draws one row on a scale from 1 to `top`; null without tests. The row's cells say the same in figures.
 * @param {Published.Figures} figures
 * @param {number} top
 */
export function strip(figures, top) {
  const { lowest_fit_factor: lowest, median_fit_factor: median, highest_fit_factor: highest } = figures;
  if (lowest === null || median === null || highest === null) return null;
  const x = scale(top, WIDTH, MARGIN);
  const [low, middle, high] = [x(lowest), x(median), x(highest)];
  const pass = x(PASS_LEVEL);
  const more = `M${high - 3} ${MIDDLE - 4}l5 4-5 4`;
  const dot = figures.median_at_least ? "sb-strip__dot sb-strip__dot--open" : "sb-strip__dot";
  return svg(
    "svg",
    { class: "sb-strip", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, "aria-hidden": "true" },
    svg("path", { class: "sb-strip__base", d: `M${MARGIN} ${MIDDLE}H${WIDTH - MARGIN}` }),
    svg("path", { class: "sb-strip__pass", d: `M${pass} 1V${HEIGHT - 1}` }),
    svg("path", { class: "sb-strip__range", d: `M${low} ${MIDDLE}H${high}` }),
    figures.highest_at_least ? svg("path", { class: "sb-strip__more", d: more }) : null,
    svg("circle", { class: dot, cx: middle, cy: MIDDLE, r: 4 }),
  );
}
