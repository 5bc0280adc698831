// The explorer's table. A plain <table> with buttons in its headers and fifty rows at a time.
//
// A grid library (Tabulator 6.5.3) was tried on 3,000 rows and dropped: its headers could not be reached by keyboard,
// axe-core found a critical fault in its scroll area (aria-required-children), it weighs 102 kB gzipped, and it takes
// longer to redraw after a key; tests/bench/explorer_scale.py measures both.
import { configurationAddress } from "../common/configuration-address.js";
import { find, findAll, html } from "../common/elements.js";
import { asideLabel, fit, intervalLabel, leakageLabel, rangeLabel, reachLabel } from "../common/figures.js";
import { withFaceType } from "../common/face-type.js";
import { withMethod } from "../common/method.js";
import { count, say } from "../common/say.js";
import { MOST } from "../compare/choice.js";
import { donningsOf } from "./row-donnings.js";
import { strip } from "../common/strip.js";

/**
 * @typedef {import("./rows.js").Row} Row
 * @typedef {import("../common/elements.js").Child} Child
 */

const PAGE = 50;
/** Rows drawn at once, more than a screen holds; the rest of the first fifty come in the next frame. */
const AT_ONCE = 16;
/** The class of a mask that is no respirator, as the vocabulary has it. */
const MEDICAL = "medical";

export class ExplorerTable {
  /**
   * @param {Element} root holds the table and the button for more
   * @param {Published.Strip} geometry of the strips
   * @param {object} on
   * @param {(column: string) => void} on.onSort
   * @param {(id: string, ticked: boolean) => void} on.onTick
   * @param {() => void} on.onLeave to the bar, past the rows that follow
   */
  constructor(root, geometry, { onSort, onTick, onLeave }) {
    this.geometry = geometry;
    this.table = find(root, "table", HTMLTableElement);
    this.scroll = find(root, ".sb-explorer__scroll", HTMLElement);
    this.count = 0;
    this.frame = 0;
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
    /** What each column is called. */
    this.labels = new Map(this.headers.map(({ element, column }) => [column, find(element, "span", HTMLElement).textContent ?? ""]));
    for (const { element, column } of this.headers) {
      const label = find(element, "span", HTMLElement);
      const button = html("button", { class: "sb-explorer__sort", type: "button" }, label.textContent);
      button.addEventListener("click", () => onSort(column));
      label.replaceWith(button);
    }
    this.body.addEventListener("change", ({ target }) => {
      if (target instanceof HTMLInputElement) onTick(target.value, target.checked);
    });
    this.body.addEventListener("click", ({ target }) => {
      const button = target instanceof Element ? target.closest("button") : null;
      if (button?.matches(".sb-explorer__to-bar")) onLeave();
      if (button?.matches(".sb-explorer__open")) this.toggle(button);
    });
    new ResizeObserver(() => this.fit()).observe(this.scroll);
    this.next.addEventListener("click", () => this.more());
  }

  /** Shows the columns of these names beside mask and change. */
  showColumns(/** @type {string[]} */ columns) {
    const written = columns.join(" ");
    if (this.table.dataset.columns === written) return;
    this.table.dataset.columns = written;
    this.fit();
  }

  /** Lets a table scroll sideways that is wider than its room; else its head stays with the page. */
  fit() {
    const { scroll } = this;
    scroll.removeAttribute("tabindex");
    delete scroll.dataset.wide;
    if (this.table.offsetWidth <= scroll.clientWidth + 1) return;
    scroll.dataset.wide = "true";
    scroll.tabIndex = 0;
  }

  /** Opens every donning below a row, or closes them. */
  async toggle(/** @type {HTMLButtonElement} */ button) {
    const element = button.closest("tr");
    const row = this.rows.find(({ id }) => id === button.value);
    const isOpen = button.getAttribute("aria-expanded") === "true";
    button.setAttribute("aria-expanded", String(!isOpen));
    if (isOpen) element?.nextElementSibling?.remove();
    if (isOpen || !row || !element) return;
    const cellBelow = html("td", { role: "cell", colspan: this.headers.length + 1 });
    element.after(html("tr", { role: "row", class: "sb-explorer__donnings" }, cellBelow));
    cellBelow.replaceChildren(await donningsOf(row));
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
    this.arrange(AT_ONCE);
    this.offer();
    cancelAnimationFrame(this.frame);
    this.frame = requestAnimationFrame(() => setTimeout(() => this.rows === rows && this.fill()));
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
    const on = element.querySelector(".sb-explorer__to-bar");
    if (on instanceof HTMLElement) on.hidden = !box.checked;
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

  /** Draws what is still to come of the first page. */
  fill() {
    if (this.count < Math.min(PAGE, this.rows.length)) this.arrange(PAGE);
  }

  /**
   * Shows the first rows. Those of the first page that stand there already stay: only what moves is laid out anew.
   * @param {number} most how many are drawn that do not stand there
   */
  arrange(most) {
    const shown = this.rows.slice(0, PAGE).filter((row, place) => place < most || this.drawn.get(row)?.isConnected);
    const elements = this.elements(shown);
    this.count = Math.min(this.rows.length, most);
    const stays = new Set(elements);
    for (const element of [...this.body.rows]) if (!stays.has(element)) element.remove();
    let after = this.body.firstElementChild;
    for (const element of elements) {
      if (element === after) after = after.nextElementSibling;
      else this.body.insertBefore(element, after);
    }
  }

  /** Adds the next rows and moves on to the first of them, so that the keyboard goes on from there. */
  more() {
    this.fill();
    const added = this.elements(this.rows.slice(this.count, this.count + PAGE));
    this.count += added.length;
    this.body.append(...added);
    this.offer();
    added[0]?.querySelector("a")?.focus();
  }

  /** Offers what is not shown yet. */
  offer() {
    const left = this.rows.length - Math.max(this.count, Math.min(this.rows.length, PAGE));
    this.next.hidden = left === 0;
    const configurations = count("configuration", this.rows.length);
    this.next.textContent = say("explore.more", { next: Math.min(left, PAGE), configurations });
  }

  /** Rows as they are drawn, closed. */
  elements(/** @type {Row[]} */ rows) {
    return rows.map((row) => {
      const element = this.drawn.get(row) ?? drawRow(row, this.geometry, this.labels);
      this.drawn.set(row, element);
      element.querySelector(".sb-explorer__open")?.setAttribute("aria-expanded", "false");
      this.markRow(element);
      return element;
    });
  }
}

/**
 * The same cells that the builder writes into the page, after one with a box to tick.
 * @param {Row} row
 * @param {Published.Strip} geometry
 * @param {Map<string, string>} labels of the columns
 */
function drawRow(row, geometry, labels) {
  const suffix = html("span", { class: "sb-explorer__suffix" }, row.change);
  const link = html("a", { href: address(row) }, row.mask_label, html("span", { class: "sb-hidden" }, ", "), suffix);
  const figure = (/** @type {string} */ column, /** @type {string} */ css, /** @type {Child[]} */ ...children) =>
    html("td", { role: "cell", "data-column": column, "data-label": labels.get(column) ?? "", class: css }, ...children);
  return html(
    "tr",
    { role: "row" },
    html("td", { role: "cell", class: "sb-explorer__tick" }, ...(row.wearers > 0 ? controls(row) : [])),
    html("th", { scope: "row", role: "rowheader" }, link, caution(row)),
    html("td", { role: "cell", class: "sb-explorer__change" }, row.change),
    figure("median", "sb-num", fit(row.median_fit_factor, row.median_at_least)),
    figure("lowest", "sb-explorer__range", strip(row, geometry), beneath(rangeLabel(row))),
    figure("share", "sb-num", reachLabel(row), beneath(intervalLabel(row))),
    figure("wearers", "sb-num", String(row.wearers)),
    figure("effect", "sb-explorer__effect", row.effect),
    figure("wearer_median", "sb-num", fit(row.wearer_median_fit_factor, row.wearer_median_at_least)),
    figure("geometric_mean", "sb-num", fit(row.geometric_mean, row.geometric_mean_at_least)),
    figure("leakage", "sb-num", leakageLabel(row)),
    figure("tests", "sb-num", String(row.tests), beneath(asideLabel(row))),
  );
}

/** What stands beside the figures of a mask that was not made to seal. */
function caution(/** @type {Row} */ row) {
  return row.mask_class === MEDICAL ? html("span", { class: "sb-muted" }, ` ${say("harm.medical_short")}`) : null;
}

/** What can be done with a row: choose it, go on with what is chosen, open it. */
function controls(/** @type {Row} */ row) {
  const configuration = say("label.configuration", { mask: row.mask_label, change: row.change });
  const label = say("explore.compare_one", { configuration });
  const box = html("input", { type: "checkbox", value: row.id, autocomplete: "off", "aria-label": label });
  const on = html("button", { type: "button", class: "sb-explorer__to-bar" }, say("explore.to_bar"));
  const opens = { "aria-expanded": "false", "aria-label": say("explore.open", { configuration }) };
  const open = html("button", { type: "button", class: "sb-explorer__open", value: row.id, ...opens });
  return [html("label", {}, box), on, open];
}

/** The smaller second line of a cell. */
function beneath(/** @type {string} */ text) {
  return html("span", { class: "sb-explorer__beneath" }, text);
}

/** Where a configuration stands on its mask's page, narrowed as the row is. */
export function address(/** @type {Row} */ { id, method, cell, bridge }) {
  return withFaceType(withMethod(configurationAddress(id), method), { cell, bridge });
}
