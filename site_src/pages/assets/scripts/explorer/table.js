// The explorer's table. A plain <table> with buttons in its headers and fifty rows at a time.
//
// A grid library (Tabulator 6.5.3) was tried on 3,000 rows and dropped: its headers could not be reached by keyboard,
// axe-core found a critical fault in its scroll area (aria-required-children), it weighs 102 kB gzipped, and it takes
// longer to redraw after a key; tests/bench/explorer_scale.py measures both.
import { asideLabel, figure, fit, intervalLabel, leakageLabel, plural, rangeLabel, reachLabel } from "../common/figures.js";
import { MOST } from "../compare/choice.js";
import { strip } from "./strip.js";

const PAGE = 50;

export class ExplorerTable {
  /**
   * @param {Element} root holds the table and the button for more
   * @param {import("./strip.js").Geometry} geometry of the strips
   * @param {object} on
   * @param {(column: string) => void} on.onSort
   * @param {(id: string, ticked: boolean) => void} on.onTick
   */
  constructor(root, geometry, { onSort, onTick }) {
    this.geometry = geometry;
    this.body = root.querySelector("tbody");
    this.next = root.querySelector(".sb-explorer__next");
    this.headers = [...root.querySelectorAll("th[data-sort]")];
    /** @type {import("./rows.js").Row[]} */
    this.rows = [];
    /** @type {WeakMap<import("./rows.js").Row, HTMLTableRowElement>} */
    this.drawn = new WeakMap();
    this.chosen = new Set();
    for (const header of this.headers) {
      const label = header.querySelector("span");
      const button = make("button", "sb-explorer__sort", label.textContent);
      button.type = "button";
      button.addEventListener("click", () => onSort(header.dataset.sort));
      label.replaceWith(button);
    }
    const corner = make("th", "sb-explorer__tick");
    corner.scope = "col";
    corner.append(make("span", "sb-hidden", "Compare"));
    this.headers[0].before(corner);
    this.body.addEventListener("change", ({ target }) => onTick(target.value, target.checked));
    this.next.addEventListener("click", () => this.more());
  }

  /** Columns that can be sorted by. */
  get columns() {
    return this.headers.map((header) => header.dataset.sort);
  }

  /**
   * Shows rows from the first on, and which column they are sorted by.
   * @param {import("./rows.js").Row[]} rows
   * @param {string} sort
   */
  show(rows, sort) {
    this.rows = rows;
    this.body.replaceChildren(...this.elements(0));
    this.offer();
    for (const header of this.headers) {
      if (header.dataset.sort === sort.replace("-", "")) {
        header.setAttribute("aria-sort", sort.startsWith("-") ? "descending" : "ascending");
      } else {
        header.removeAttribute("aria-sort");
      }
    }
  }

  /**
   * Ticks what is chosen. With as many as can be compared, the other boxes are out of use.
   * @param {string[]} chosen ids
   */
  mark(chosen) {
    this.chosen = new Set(chosen);
    for (const element of this.body.rows) this.markRow(element);
  }

  markRow(/** @type {HTMLTableRowElement} */ element) {
    const box = element.querySelector("input");
    if (!box) return;
    box.checked = this.chosen.has(box.value);
    box.disabled = !box.checked && this.chosen.size >= MOST;
    box.title = box.disabled ? `At most ${MOST} can be compared` : "";
  }

  /**
   * Takes the keyboard to the box of a configuration, or to the first box where that one is not shown.
   * @param {string} id
   */
  focus(id) {
    const boxes = [...this.body.querySelectorAll("input")];
    (boxes.find((box) => box.value === id) ?? boxes[0])?.focus({ preventScroll: true });
  }

  /** Adds the next rows and moves on to the first of them, so that the keyboard goes on from there. */
  more() {
    const added = this.elements(this.body.rows.length);
    this.body.append(...added);
    this.offer();
    added[0]?.querySelector("a").focus();
  }

  /** Offers what is not shown yet. */
  offer() {
    const left = this.rows.length - this.body.rows.length;
    this.next.hidden = left === 0;
    this.next.textContent = `Show ${Math.min(left, PAGE)} more of ${plural(this.rows.length, "configuration")}`;
  }

  /** @param {number} from */
  elements(from) {
    return this.rows.slice(from, from + PAGE).map((row) => {
      const element = this.drawn.get(row) ?? drawRow(row, this.geometry);
      this.drawn.set(row, element);
      this.markRow(element);
      return element;
    });
  }
}

/**
 * The same cells that the builder writes into the page, after one with a box to tick.
 * @param {import("./rows.js").Row} row
 * @param {import("./strip.js").Geometry} geometry
 */
function drawRow(row, geometry) {
  const element = document.createElement("tr");
  const header = make("th");
  header.scope = "row";
  const link = make("a", "", row.mask_label);
  link.href = address(row);
  link.append(make("span", "sb-hidden", ", "), make("span", "sb-explorer__suffix", row.change));
  header.append(link);
  const tick = make("td", "sb-explorer__tick");
  if (row.wearers > 0) tick.append(tickBox(row));
  const range = make("td", "sb-explorer__range");
  range.append(strip(row, geometry) ?? "", beneath(rangeLabel(row)));
  const reach = make("td", "sb-num sb-explorer__medium", reachLabel(row));
  reach.append(beneath(intervalLabel(row)));
  const tests = make("td", "sb-num sb-explorer__medium", String(row.tests));
  tests.append(beneath(asideLabel(row)));
  element.append(
    tick,
    header,
    make("td", "sb-explorer__change", row.change),
    make("td", "sb-num", fit(row.median_fit_factor, row.median_at_least)),
    range,
    make("td", "sb-num sb-explorer__medium", fit(row.wearer_median_fit_factor, row.wearer_median_at_least)),
    make("td", "sb-num sb-explorer__extra", figure(row.geometric_mean)),
    make("td", "sb-num sb-explorer__extra", leakageLabel(row)),
    reach,
    make("td", "sb-num", String(row.wearers)),
    tests,
  );
  return element;
}

function tickBox(/** @type {import("./rows.js").Row} */ row) {
  const box = document.createElement("input");
  box.type = "checkbox";
  box.value = row.id;
  box.autocomplete = "off";
  box.setAttribute("aria-label", `Compare ${row.mask_label}, ${row.change}`);
  const label = document.createElement("label");
  label.append(box);
  return label;
}

/** The smaller second line of a cell. */
function beneath(/** @type {string} */ text) {
  return make("span", "sb-explorer__beneath", text);
}

/** Where a configuration stands on its mask's page. */
function address(/** @type {{mask: string, id: string}} */ { mask, id }) {
  return `../masks/${encodeURIComponent(mask)}/#${encodeURIComponent(id).replaceAll("%2B", "+")}`;
}

/**
 * @param {string} name
 * @param {string} className
 * @param {string} text
 */
function make(name, className = "", text = "") {
  const element = document.createElement(name);
  if (className) element.className = className;
  element.textContent = text;
  return element;
}
