// The small picture in a table row: median and range on a log scale, one line marked.
// The same picture that the builder draws, from the builder's own measures of it.
import { svg } from "../common/elements.js";
import { scale, tenth } from "../common/scale.js";

/**
 * Size and margin of a strip, radius of its dot, half the height of its arrow; the end of its scale from 1, and what
 * is marked on it.
 * @typedef {{width: number, height: number, margin: number, dot: number, arrow: number, top: number, mark: number}}
 *   Geometry
 */

/**
 * Draws one row; null without tests. The row's cells say the same in figures.
 * @param {Published.Figures} figures
 * @param {Geometry} geometry
 */
export function strip(figures, { width, height, margin, dot, arrow, top, mark }) {
  if (figures.median_fit_factor === null) return null;
  const x = scale(top, width, margin);
  const [low, median, high] = [figures.lowest_fit_factor, figures.median_fit_factor, figures.highest_fit_factor].map(x);
  const [middle, at] = [height / 2, x(mark)];
  const line = (name, x1, y1, x2, y2) => svg("line", { x1, y1, x2, y2, class: `sb-strip__${name}` });
  const [tail, tip] = [tenth(high - 3), tenth(high + 2)];
  const more = `M${tail} ${middle - arrow}L${tip} ${middle}L${tail} ${middle + arrow}`;
  const open = figures.median_at_least ? "sb-strip__dot sb-strip__dot--open" : "sb-strip__dot";
  return svg(
    "svg",
    { class: "sb-strip", viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" },
    line("base", margin, middle, width - margin, middle),
    line("pass", at, 1, at, height - 1),
    line("range", low, middle, high, middle),
    figures.highest_at_least ? svg("path", { d: more, class: "sb-strip__more" }) : null,
    svg("circle", { cx: median, cy: middle, r: dot, class: open }),
  );
}
