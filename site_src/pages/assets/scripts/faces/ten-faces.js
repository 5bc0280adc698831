// A chance as ten small faces, as the builder draws them (pictures/ten_faces.py).
import { svg } from "../common/elements.js";
import { halvesOfTen } from "./face-words.js";

const [APART, HEIGHT, RADIUS] = [22, 20, 8];
const MASK = [[-7, 0.5], [-2.5, -1], [0, -2.5], [2.5, -1], [7, 0.5], [4.5, 5.5], [0, 7], [-4.5, 5.5]];
const NAMES = /** @type {const} */ (["sb-ten__other", "sb-ten__half", "sb-ten__fits"]);

/** Where the style sheet's classes do not reach: in files. */
const PAINT = {
  "sb-ten__other": { fill: "var(--sb-raised)", stroke: "var(--sb-edge)" },
  "sb-ten__half": { fill: "var(--sb-changed-range)", stroke: "var(--sb-brand)" },
  "sb-ten__fits": { fill: "var(--sb-brand)", stroke: "var(--sb-brand)" },
};

/** For a page, whose style sheet paints it. */
export function tenFaces(/** @type {number} */ chance) {
  const size = { viewBox: `0 0 ${10 * APART} ${HEIGHT}`, "aria-hidden": "true" };
  return svg("svg", { class: "sb-ten", ...size }, ...faces(chance).flatMap(({ x, name, points }) => [
    svg("circle", { cx: x, cy: HEIGHT / 2, r: RADIUS, class: name }),
    svg("polygon", { points, class: "sb-ten__mask" }),
  ]));
}

/** For a file: a group at a place. */
export function paintedFaces(/** @type {number} */ chance, /** @type {number} */ left, /** @type {number} */ top) {
  return svg("g", { transform: `translate(${left} ${top})` }, ...faces(chance).flatMap(({ x, name, points }) => [
    svg("circle", { cx: x, cy: HEIGHT / 2, r: RADIUS, "stroke-width": 1.5, ...PAINT[name] }),
    svg("polygon", { points, fill: name === "sb-ten__other" ? "var(--sb-line)" : "var(--sb-paper)" }),
  ]));
}

function faces(/** @type {number} */ chance) {
  const halves = halvesOfTen(chance);
  return Array.from({ length: 10 }, (_, place) => {
    const filled = Math.min(2, Math.max(0, halves - 2 * place));
    const x = place * APART + APART / 2;
    const points = MASK.map(([dx = 0, dy = 0]) => `${x + dx},${HEIGHT / 2 + dy}`).join(" ");
    return { x, name: NAMES[filled] ?? "sb-ten__other", points };
  });
}
