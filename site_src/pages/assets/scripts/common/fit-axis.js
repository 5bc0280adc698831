// The axis of fit factors below a picture: upright lines on a logarithmic scale, the one at the pass level told apart.
import { svg } from "./elements.js";
import { figure } from "./figures.js";
import { say } from "./say.js";
import { PASS_LEVEL } from "./scale.js";

export const MUTED = { fill: "var(--sb-muted)" };
const PASS_LINE = { stroke: "var(--sb-pass)", "stroke-width": 2, "stroke-dasharray": "2 3" };
const TICKS = Array.from({ length: 8 }, (_, power) => [1, 2, 5].map((digit) => digit * 10 ** power)).flat();

/** Within this factor of the pass level a fitted axis goes to it. */
const NEAR = 5;
/** A fitted axis ends at this many times its beginning, or beyond. */
const LEAST = 5;
/** Narrower pictures have room for the powers of ten alone, unless these are few. */
export const WIDE = 560;
const FEW = 3;

/**
 * The ends of an axis that just holds some fit factors, and the pass level where that is near: marked ones, but for 1.
 * @param {number[]} fitFactors one or more
 */
export function fittedEnds(fitFactors) {
  const [lowest, highest] = [Math.min(...fitFactors), Math.max(...fitFactors)];
  const from = PASS_LEVEL < lowest && PASS_LEVEL * NEAR >= lowest ? PASS_LEVEL : lowest;
  const to = PASS_LEVEL > highest && PASS_LEVEL <= highest * NEAR ? PASS_LEVEL : highest;
  const low = Math.max(1, ...TICKS.filter((tick) => tick <= from));
  const top = TICKS.find((tick) => tick >= to && tick >= LEAST * low) ?? to;
  return { low, top };
}

/**
 * @param {(fitFactor: number) => number} x
 * @param {{from: number, bottom: number, low?: number, top: number, width: number, labels: number, name: number}} place
 *   the lines go from `from` to `bottom` and the scale from `low` to `top`; labels and the axis's name stand so far
 *   below them
 */
export function fitAxis(x, { from, bottom, low = 1, top, width, labels, name }) {
  const within = TICKS.filter((tick) => low <= tick && tick <= top);
  const powers = within.filter((tick) => Number.isInteger(Math.log10(tick)));
  const shown = width > WIDE || powers.length < FEW ? within : powers;
  const line = { y1: from, y2: bottom };
  // The labels at the ends stay within the picture.
  const label = (/** @type {number} */ tick) => {
    if (tick === low) return { x: 4, "text-anchor": "start" };
    if (tick === top) return { x: width - 4, "text-anchor": "end" };
    return { x: x(tick), "text-anchor": "middle" };
  };
  return svg(
    "g",
    {},
    ...shown.map((tick) => svg("line", { ...line, x1: x(tick), x2: x(tick), stroke: "var(--sb-line)" })),
    low <= PASS_LEVEL && PASS_LEVEL <= top
      ? svg("line", { ...line, x1: x(PASS_LEVEL), x2: x(PASS_LEVEL), ...PASS_LINE })
      : null,
    ...shown.map((tick) => svg("text", { y: bottom + labels, ...label(tick) }, figure(tick))),
    svg("text", { x: width / 2, y: bottom + name, "text-anchor": "middle", ...MUTED }, say("compare.axis")),
  );
}
