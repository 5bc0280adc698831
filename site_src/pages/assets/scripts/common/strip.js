// The small picture in a table row: median and range on a log scale, one line marked.
// The same picture that the builder draws, from the builder's own measures of it.
import { svg } from "./elements.js";
import { scale, tenth } from "./scale.js";

/**
 * Draws one row; null without tests. The row's cells say the same in figures.
 * @param {Pick<Published.Figures, "lowest_fit_factor" | "median_fit_factor" | "highest_fit_factor" | "median_at_least"
 *   | "highest_at_least">} figures
 * @param {Published.Strip} geometry
 */
export function strip(figures, { width, height, margin, dot, arrow, top, mark }) {
  const { lowest_fit_factor: lowest, median_fit_factor: median, highest_fit_factor: highest } = figures;
  if (lowest === null || median === null || highest === null) return null;
  const x = scale(top, width, margin);
  const [low, middle, high] = [x(lowest), x(median), x(highest)];
  const [level, at] = [height / 2, x(mark)];
  const [tail, tip] = [tenth(high - 3), tenth(high + 2)];
  const more = `M${tail} ${level - arrow}L${tip} ${level}L${tail} ${level + arrow}`;
  /** @type {Record<string, string>} */
  const open = figures.median_at_least ? { class: "sb-strip__open" } : {};
  return svg(
    "svg",
    { class: "sb-strip", viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" },
    svg("line", { x1: margin, y1: level, x2: width - margin, y2: level }),
    svg("line", { x1: at, y1: 1, x2: at, y2: height - 1 }),
    svg("line", { x1: low, y1: level, x2: high, y2: level }),
    figures.highest_at_least ? svg("path", { d: more }) : null,
    svg("circle", { cx: middle, cy: level, r: dot, ...open }),
  );
}
