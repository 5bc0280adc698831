// Fit beside comfort and breathing of the rows that are shown: the builder's own picture (site/comfort_pictures.py) with
// other marks.
import { find, show, svg } from "../common/elements.js";
import { fit } from "../common/figures.js";
import { onAxis, tenth } from "../common/scale.js";
import { count, say } from "../common/say.js";
import { address } from "./table.js";

/** @typedef {import("./rows.js").Row} Row */

const DOT = 5;
const SQUARE = "-6,-6 6,-6 6,6 -6,6";

export class ComfortPicture {
  /** @param {HTMLElement} root holds the picture, where there is one */
  constructor(root) {
    /** @type {Row[]} */
    this.rows = [];
    const fold = root.querySelector(".sb-comfort");
    this.fold = fold instanceof HTMLDetailsElement ? fold : null;
    this.fold?.addEventListener("toggle", () => this.draw());
  }

  /** Takes the rows that are shown; they are drawn where somebody looks. */
  show(/** @type {Row[]} */ rows) {
    this.rows = rows;
    this.draw();
  }

  draw() {
    if (!this.fold?.open) return;
    const marks = find(this.fold, ".sb-comfort__marks", SVGGElement);
    const [left = 0, right = 0, width = 1, top = 0, bottom = 0, highest = 1, most = 0] = (marks.dataset.frame ?? "").split(" ").map(Number);
    const tried = this.rows.filter((row) => row.wearers > 0);
    const told = tried.filter((row) => row.comfort_told > 0).slice(0, most);
    const x = onAxis({ low: 1, high: highest }, left, right);
    const drawn = told.map((row) => {
      const across = `${Number(((100 * x(row.median_fit_factor ?? 1)) / width).toFixed(2))}%`;
      const y = tenth(bottom - (row.comfortable / row.comfort_told) * (bottom - top));
      return markOf(row, across, y);
    });
    marks.replaceChildren(...drawn);
    const untold = told.length === tried.length ? "" : say("comfort.drawn", { drawn: told.length, configurations: count("configuration", tried.length) });
    show(find(this.fold, ".sb-comfort__untold", HTMLElement), untold);
  }
}

function markOf(/** @type {Row} */ row, /** @type {string} */ x, /** @type {number} */ y) {
  const fill = row.parts ? "var(--sb-changed)" : "var(--sb-sold)";
  const look = { fill, stroke: "var(--sb-paper)" };
  const hard = 2 * row.hard_to_breathe >= Math.max(1, row.breathing_told);
  const shape = hard
    ? svg("svg", { x, y, overflow: "visible" }, svg("polygon", { points: SQUARE, ...look }))
    : svg("g", look, svg("circle", { cx: x, cy: y, r: DOT }));
  const told = words(row);
  return svg("a", { href: address(row), "aria-label": told }, svg("title", {}, told), shape);
}

/** What a mark stands for. */
function words(/** @type {Row} */ row) {
  const easy = row.breathing_told ? say("wearing.of", { n: row.breathing_told - row.hard_to_breathe, of: row.breathing_told }) : say("wearing.not_noted");
  return say("comfort.mark", {
    configuration: say("label.configuration", { mask: row.mask_label, change: row.change }),
    median: fit(row.median_fit_factor, row.median_at_least),
    wearers: count("wearer", row.wearers),
    comfortable: say("wearing.of", { n: row.comfortable, of: row.comfort_told }),
    easy,
  });
}
