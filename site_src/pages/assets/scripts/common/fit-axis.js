// The axis of fit factors below a picture: upright lines on a logarithmic scale, the one at the pass level told apart.
import { svg } from "./elements.js";
import { figure } from "./figures.js";
import { say } from "./say.js";
import { PASS_LEVEL } from "./scale.js";

export const MUTED = { fill: "var(--sb-muted)" };
const PASS_LINE = { stroke: "var(--sb-pass)", "stroke-width": 2, "stroke-dasharray": "2 3" };
const TICKS = Array.from({ length: 8 }, (_, power) => [1, 2, 5].map((digit) => digit * 10 ** power)).flat();

/** Narrower pictures have room for the powers of ten alone. */
const WIDE = 560;

/**
 * @param {(fitFactor: number) => number} x
 * @param {{from: number, bottom: number, top: number, width: number, labels: number, name: number}} place the lines go
 *   from `from` to `bottom` and the scale to `top`; labels and the axis's name stand so far below them
 */
export function fitAxis(x, { from, bottom, top, width, labels, name }) {
  const shown = TICKS.filter((tick) => tick <= top && (width > WIDE || Number.isInteger(Math.log10(tick))));
  const line = { y1: from, y2: bottom };
  // The labels at the ends stay within the picture.
  const label = (/** @type {number} */ tick) => {
    if (tick === 1) return { x: 4, "text-anchor": "start" };
    if (tick === top) return { x: width - 4, "text-anchor": "end" };
    return { x: x(tick), "text-anchor": "middle" };
  };
  return svg(
    "g",
    {},
    ...shown.map((tick) => svg("line", { ...line, x1: x(tick), x2: x(tick), stroke: "var(--sb-line)" })),
    svg("line", { ...line, x1: x(PASS_LEVEL), x2: x(PASS_LEVEL), ...PASS_LINE }),
    ...shown.map((tick) => svg("text", { y: bottom + labels, ...label(tick) }, figure(tick))),
    svg("text", { x: width / 2, y: bottom + name, "text-anchor": "middle", ...MUTED }, say("compare.axis")),
  );
}
