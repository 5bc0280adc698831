// Where a schedule lies on a log: what was read over time, on a logarithmic scale, with the phases behind it.
import { svg } from "../common/elements.js";
import { figure } from "../common/figures.js";
import { say } from "../common/say.js";
import { tenth } from "../common/scale.js";

const HEIGHT = 190;
const TOP = 8;
const BOTTOM = 34;
const SIDE = 8;
/** Behind each kind of air; words stand below, so that no colour is needed to tell them apart. */
const SHADES = new Map([
  ["ambient", "var(--sb-shade-2)"],
  ["mask", "var(--sb-sunk)"],
]);

/**
 * @param {import("../logs/read-log.js").ReadLog} found
 * @param {{width: number, exercise: (id: string) => string}} options
 */
export function cutChart({ levels, cut }, { width, exercise }) {
  const phases = cut?.phases ?? [];
  const end = Math.max(...levels.map(({ seconds }) => seconds), ...phases.map(({ to }) => to));
  const known = levels.map(({ level }) => level).filter((level) => level > 0);
  const [low, high] = [Math.log(Math.min(...known)), Math.log(Math.max(...known))];
  const x = (/** @type {number} */ seconds) => tenth(SIDE + (seconds / end) * (width - 2 * SIDE));
  const y = (/** @type {number} */ level) => {
    const share = high > low ? (Math.log(Math.max(level, Math.exp(low))) - low) / (high - low) : 0.5;
    return tenth(HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP));
  };
  const inOrder = [...levels].sort((a, b) => a.seconds - b.seconds);
  const line = inOrder.map(({ seconds, level }, place) => `${place ? "L" : "M"}${x(seconds)} ${y(level)}`).join("");
  const named = phases.map((phase) => ({ ...phase, name: phase.exercise ? exercise(phase.exercise) : say(`bench_page.phase_${phase.phase}`) }));
  const told = named.map(({ name, from, to }) => say("bench_page.cut_phase", { name, from: figure(from), to: figure(to) })).join("; ");
  return svg(
    "svg",
    {
      viewBox: `0 0 ${width} ${HEIGHT}`,
      width,
      height: HEIGHT,
      role: "img",
      "aria-label": say("bench_page.cut_picture", { phases: told }),
      "font-size": 11,
      fill: "var(--sb-ink)",
      class: "sb-bench__cut",
    },
    svg("rect", { width, height: HEIGHT, fill: "var(--sb-paper)" }),
    ...named.map(({ phase, from, to, name }) =>
      svg(
        "g",
        {},
        svg("rect", { x: x(from), y: TOP, width: Math.max(0, tenth(x(to) - x(from))), height: HEIGHT - BOTTOM - TOP, fill: SHADES.get(phase) ?? "none" }, svg("title", {}, name)),
        svg("line", { x1: x(from), x2: x(from), y1: TOP, y2: HEIGHT - BOTTOM + 4, stroke: "var(--sb-edge)" }),
      ),
    ),
    svg("path", { d: line, fill: "none", stroke: "var(--sb-changed)", "stroke-width": 1.5 }),
    ...numbered(named, x),
    svg("text", { x: width / 2, y: HEIGHT - 4, "text-anchor": "middle", fill: "var(--sb-muted)" }, say("bench_page.cut_axis", { seconds: figure(end) })),
  );
}

/**
 * A letter below each phase that is wide enough: its number, in the order of the schedule.
 * @param {{from: number, to: number}[]} phases
 * @param {(seconds: number) => number} x
 */
function numbered(phases, x) {
  return phases.flatMap(({ from, to }, place) =>
    x(to) - x(from) < 10
      ? []
      : [svg("text", { x: tenth((x(from) + x(to)) / 2), y: HEIGHT - BOTTOM + 14, "text-anchor": "middle" }, String(place + 1))],
  );
}
