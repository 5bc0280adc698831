// The explorer's table. A plain <table> with buttons in its headers and fifty rows at a time.
//
// A grid library (Tabulator 6.5.3) was tried on 3,000 rows and dropped: its headers could not be reached by keyboard,
// axe-core found a critical fault in its scroll area (aria-required-children), it weighs 102 kB gzipped, and it takes
// longer to redraw after a key; tests/bench/explorer_scale.py measures both.
import { find, findAll, html } from "../common/elements.js";
import { asideLabel, fit, intervalLabel, leakageLabel, rangeLabel, reachLabel } from "../common/figures.js";
import { withMethod } from "../common/method.js";
import { count, say } from "../common/say.js";
import { MOST } from "../compare/choice.js";
import { strip } from "./strip.js";

/** @typedef {import("./rows.js").Row} Row */

const PAGE = 50;
/** The class of a mask that is no respirator, as the vocabulary has it. */
const MEDICAL = "medical";

export class ExplorerTable {
  /**
   * @param {Element} root holds the table and the button for more
   * @param {Published.Strip} geometry of the strips
   * @param {object} on
   * @param {(column: string) => void} on.onSort
   * @param {(id: string, ticked: boolean) => void} on.onTick
   */
  constructor(root, geometry, { onSort, onTick }) {
    this.geometry = geometry;
    this.body = find(root, "tbody", HTMLTableSectionElement);
    this.next = find(root, ".sb-explorer__next", HTMLButtonElement);
    this.headers = findAll(root, "th[data-sort]", HTMLTableCellElement).map((element) => ({
      element,
      column: element.dataset.sort ?? "",
    }));
    /** @type {Row[]} */
    this.rows = [];
    /** @type {WeakMap<Row, HTMLTableRowElement>} */
    this.drawn = new WeakMap();
    /** @type {Set<string>} */
    this.chosen = new Set();
    for (const { element, column } of this.headers) {
      const label = find(element, "span", HTMLElement);
      const button = html("button", { class: "sb-explorer__sort", type: "button" }, label.textContent);
      button.addEventListener("click", () => onSort(column));
      label.replaceWith(button);
    }
    const hidden = html("span", { class: "sb-hidden" }, say("explore.compare"));
    this.headers[0]?.element.before(html("th", { class: "sb-explorer__tick", scope: "col" }, hidden));
    this.body.addEventListener("change", ({ target }) => {
      if (target instanceof HTMLInputElement) onTick(target.value, target.checked);
    });
    this.next.addEventListener("click", () => this.more());
  }

  /** Columns that can be sorted by. */
  get columns() {
    return this.headers.map(({ column }) => column);
  }

  /**
   * Shows rows from the first on, and which column they are sorted by.
   * @param {Row[]} rows
   * @param {string} sort
   */
  show(rows, sort) {
    this.rows = rows;
    this.body.replaceChildren(...this.elements(0));
    this.offer();
    for (const { element, column } of this.headers) {
      if (column === sort.replace("-", "")) {
        element.setAttribute("aria-sort", sort.startsWith("-") ? "descending" : "ascending");
      } else {
        element.removeAttribute("aria-sort");
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
    box.title = box.disabled ? say("choice.most", { most: MOST }) : "";
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
    added[0]?.querySelector("a")?.focus();
  }

  /** Offers what is not shown yet. */
  offer() {
    const left = this.rows.length - this.body.rows.length;
    this.next.hidden = left === 0;
    const configurations = count("configuration", this.rows.length);
    this.next.textContent = say("explore.more", { next: Math.min(left, PAGE), configurations });
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
 * @param {Row} row
 * @param {Published.Strip} geometry
 */
function drawRow(row, geometry) {
  const suffix = html("span", { class: "sb-explorer__suffix" }, row.change);
  const link = html("a", { href: address(row) }, row.mask_label, html("span", { class: "sb-hidden" }, ", "), suffix);
  return html(
    "tr",
    {},
    html("td", { class: "sb-explorer__tick" }, row.wearers > 0 ? tickBox(row) : null),
    html("th", { scope: "row" }, link, caution(row)),
    cell("sb-explorer__change", row.change),
    cell("sb-num", fit(row.median_fit_factor, row.median_at_least)),
    cell("sb-explorer__range", strip(row, geometry), beneath(rangeLabel(row))),
    cell("sb-num sb-explorer__medium", fit(row.wearer_median_fit_factor, row.wearer_median_at_least)),
    cell("sb-num sb-explorer__extra", fit(row.geometric_mean, row.geometric_mean_at_least)),
    cell("sb-num sb-explorer__extra", leakageLabel(row)),
    cell("sb-num sb-explorer__medium", reachLabel(row), beneath(intervalLabel(row))),
    cell("sb-num", String(row.wearers)),
    cell("sb-num sb-explorer__medium", String(row.tests), beneath(asideLabel(row))),
  );
}

/** What stands beside the figures of a mask that was not made to seal. */
function caution(/** @type {Row} */ row) {
  return row.mask_class === MEDICAL ? html("span", { class: "sb-muted" }, ` ${say("harm.medical_short")}`) : null;
}

function tickBox(/** @type {Row} */ row) {
  const configuration = say("label.configuration", { mask: row.mask_label, change: row.change });
  const label = say("explore.compare_one", { configuration });
  return html("label", {}, html("input", { type: "checkbox", value: row.id, autocomplete: "off", "aria-label": label }));
}

/**
 * @param {string} className
 * @param {...import("../common/elements.js").Child} children
 */
function cell(className, ...children) {
  return html("td", { class: className }, ...children);
}

/** The smaller second line of a cell. */
function beneath(/** @type {string} */ text) {
  return html("span", { class: "sb-explorer__beneath" }, text);
}

/** Where a configuration stands on its mask's page. */
function address(/** @type {Row} */ { mask, id, method }) {
  const anchor = encodeURIComponent(id).replaceAll("%2B", "+");
  return withMethod(`../masks/${encodeURIComponent(mask)}/#${anchor}`, method);
}
