// The explorer: search, filters and order, all of them in the address. Without this script the table stays as it is.
import { fieldNamed, find, findAll, html, nameOf, show } from "../common/elements.js";
import { Kept, load, atRoot } from "../common/files.js";
import { csv } from "../common/csv.js";
import { copyLink } from "../common/link.js";
import { save } from "../common/picture.js";
import { notHere } from "../common/not-here.js";
import { count, say } from "../common/say.js";
import { Index, mendedWords, nearNames } from "../common/search.js";
import { chosenFrom } from "../compare/choice.js";
import { ComfortPicture } from "./comfort-picture.js";
import { CompareBar } from "./compare-bar.js";
import { comparable, overFaces, rowsFrom, SORTS, view } from "./rows.js";
import { isNear, keptNear, nearRows } from "./near-filter.js";
import { ALLOWED_COLUMNS, columnsFrom, writtenColumns } from "./shown-columns.js";
import { ExplorerTable } from "./table.js";
import { EVERYTHING, filtersSet, queryOf, stateFrom } from "./view-state.js";
import { countWords, faceWords, filtersWords, leftOutWords, methodWords, orderWords } from "./view-words.js";

/** @typedef {import("./view-state.js").State} State */

// Browsers allow about a hundred changes of the address in half a minute; typing makes more.
const ADDRESS_DELAY_MS = 200;

/** Columns that hold names. */
const NAMES = new Set(["mask", "change"]);

/** What a saved file holds of every row, and of each column that is shown. @typedef {Exclude<keyof import("./rows.js").Row, "tokens">} Field */
const NAMED = /** @type {Field[]} */ (["id", "mask_label", "maker", "change", "style", "mask_class"]);
/** @type {Record<string, Field[]>} */
const FIELDS = {
  median: ["median_fit_factor", "median_at_least"],
  lowest: ["lowest_fit_factor", "highest_fit_factor", "highest_at_least"],
  share: ["share_at_100", "share_at_100_low", "share_at_100_high", "share_wearers"],
  wearers: ["wearers"],
  effect: ["effect"],
  wearer_median: ["wearer_median_fit_factor", "wearer_median_at_least"],
  geometric_mean: ["geometric_mean", "geometric_mean_at_least"],
  leakage: ["til_percent"],
  tests: ["tests", "set_aside"],
};

// Where the filters would push the table out of sight, they fold away.
const NARROW = matchMedia("(max-width: 40rem)");

/** @param {HTMLElement} root */
export async function start(root) {
  const note = find(root, ".sb-explorer__note", HTMLElement);
  try {
    const published = /** @type {Published.Explorer} */ (await load("configurations.json"));
    new Explorer(root, note, published).restore();
  } catch (error) {
    show(note, say("explore.not_loaded"));
    find(root, "form", HTMLFormElement).hidden = true;
    throw error;
  }
}

class Explorer {
  /**
   * @param {HTMLElement} root
   * @param {HTMLElement} note
   * @param {Published.Explorer} published
   */
  constructor(root, note, published) {
    this.note = note;
    this.published = published;
    this.method = find(root, ".sb-explorer__method", HTMLElement);
    this.count = find(root, ".sb-explorer__count", HTMLElement);
    this.form = find(root, "form", HTMLFormElement);
    this.filters = find(this.form, "details", HTMLDetailsElement);
    this.summary = find(this.filters, "summary", HTMLElement);
    this.rows = rowsFrom(published);
    this.index = new Index(this.rows.map(({ text }) => text));
    this.comparable = comparable(this.rows);
    this.empty = find(root, ".sb-explorer__empty", HTMLElement);
    this.table = new ExplorerTable(root, published.strip, {
      onSort: (column) => this.sortBy(column),
      onTick: (id, ticked) => this.tick(id, ticked),
      onLeave: () => this.bar.focus(),
    });
    this.comfort = new ComfortPicture(root);
    this.bar = new CompareBar(find(root, ".sb-explorer__bar", HTMLElement), () => this.unselect());
    this.state = EVERYTHING;
    /** Ids of the configurations to compare, in the order they were ticked. @type {string[]} */
    this.chosen = [];
    /** What is shown, further rows too. @type {import("./rows.js").Row[]} */
    this.found = [];
    /** A change of the address that is still to come. @type {number | undefined} */
    this.writing = undefined;
    this.offerNear();
    this.allowed = { method: new Set(), ...choices(this.form), sort: new Set(this.table.columns.flatMap((name) => [name, `-${name}`])), columns: ALLOWED_COLUMNS };
    this.boxes = findAll(this.form, "[name=columns]", HTMLInputElement);
    /** The order, where there are no heads of columns to press. */
    this.order = find(root, "#sb-explorer-order", HTMLSelectElement);
    this.order.append(...[...this.table.labels].map(([column, label]) => html("option", { value: firstOrder(column) }, orderWords(label, firstOrder(column), NAMES.has(column)))));
    this.order.addEventListener("input", (event) => {
      event.stopPropagation(); // no field of the form: it would be set back
      this.change({ ...this.state, sort: this.order.value });
    });
    /** The rows over the face type and method last chosen, kept so that a keystroke need not put them together again. */
    this.over = { file: "", rows: this.rows, wearers: 0, methods: 0 };
    this.files = new Kept(async (file) => /** @type {Published.FaceType} */ (await load(file)));

    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", (event) => {
      this.change(withoutOther({ ...this.state, ...filled(this.form) }, nameOf(event)));
    });
    this.button("clear").addEventListener("click", () => this.change(EVERYTHING));
    this.button("copy").addEventListener("click", () => this.copy());
    this.button("csv").addEventListener("click", () => this.saveCsv());
    addEventListener("popstate", () => this.restore());
    NARROW.addEventListener("change", () => this.fold());
    find(root, ".sb-explorer__more", HTMLElement).hidden = true;
    root.dataset.ready = "true";
  }

  /** Offers the figures of people near the face of a link, or else near the one kept on this device. */
  offerNear() {
    const linked = new URLSearchParams(location.search).get("near") ?? "";
    const written = isNear(linked) ? linked : keptNear();
    const select = fieldNamed(this.form, "near");
    if (!written || !select) return;
    select.append(html("option", { value: written }, say("explore.people_near")));
    if (select.parentElement) select.parentElement.hidden = false;
  }

  /** Takes the state from the address. */
  async restore() {
    const { state, ignored } = stateFrom(location.search, this.allowed);
    const { chosen, unknown, tooMany } = chosenFrom(location.search, this.comparable);
    show(this.note, leftOutWords({ ignored, unknown, tooMany }));
    this.showChosen(chosen);
    const ready = this.set(state);
    this.fold();
    await ready;
  }

  /** Shows the filters where there is room for them, or where one is set. */
  fold() {
    this.filters.open = !NARROW.matches || filtersSet(this.state) > 0;
  }

  /**
   * Takes a new state from the reader, and brings the address in line.
   * @param {State} state
   */
  async change(state) {
    show(this.note, "");
    clearTimeout(this.writing);
    this.writing = setTimeout(() => this.writeAddress(), ADDRESS_DELAY_MS);
    await this.set(state);
  }

  writeAddress() {
    clearTimeout(this.writing);
    // Only a link that is copied tells of a face.
    const query = queryOf({ ...this.state, near: "" }, this.chosen);
    history.replaceState(history.state, "", location.pathname + query + location.hash);
  }

  /** @param {string} column */
  sortBy(column) {
    const first = firstOrder(column);
    const other = first === column ? `-${column}` : column;
    this.change({ ...this.state, sort: this.state.sort === first ? other : first });
  }

  /**
   * @param {string} id
   * @param {boolean} ticked
   */
  tick(id, ticked) {
    const others = this.chosen.filter((one) => one !== id);
    this.choose(ticked ? [...others, id] : others);
  }

  /** Unselects everything. The button goes with it, so the keyboard goes on from the table. */
  unselect() {
    const last = this.chosen.at(-1);
    this.choose([]);
    if (last) this.table.focus(last);
  }

  /** Takes a new choice of what to compare from the reader. */
  choose(/** @type {string[]} */ chosen) {
    this.showChosen(chosen);
    this.writeAddress();
  }

  showChosen(/** @type {string[]} */ chosen) {
    this.chosen = chosen;
    this.table.mark(chosen);
    this.bar.show(chosen, this.state.method);
  }

  /** @param {State} state */
  async set(state) {
    this.state = state;
    this.summary.textContent = filtersWords(filtersSet(state));
    for (const [name, value] of Object.entries(state)) {
      const control = fieldNamed(this.form, name);
      // Writing an unchanged value would move the cursor.
      if (control && control.value !== value) control.value = value;
    }
    const file = fileOf(state);
    if (file && this.over.file !== file) {
      try {
        const over = await (state.near ? nearRows(this.rows, state.near) : this.overFile(file, state));
        if (this.state !== state) return; // Changed again meanwhile.
        this.over = { ...over, file };
      } catch {
        if (this.state !== state) return;
        await this.set({ ...state, cell: "", bridge: "", method: "", near: "" });
        show(this.note, say("explore.no_tests"));
        return;
      }
    }
    const over = file ? this.over : { ...this.published, rows: this.rows };
    const columns = columnsFrom(state.columns);
    for (const box of this.boxes) box.checked = columns.includes(box.value);
    this.table.showColumns(columns);
    this.order.value = state.sort;
    const { scores, mended } = this.index.find(state.q);
    const found = view(over.rows, state, scores);
    this.found = found;
    this.table.show(found, state.sort);
    this.comfort.show(found);
    this.bar.show(this.chosen, state.method);
    this.count.textContent = [
      countWords(found.length, this.rows.length),
      scores.size ? mendedWords(mended) : "",
      file ? faceWords(over.wearers, state) : "",
    ].filter(Boolean).join(" ");
    this.empty.replaceChildren(...(scores.size ? [] : [this.nearest(state.q), notHere()]));
    this.empty.hidden = scores.size > 0;
    const mixed = state.near && this.published.methods > 1 ? say("explore.near_mixed") : "";
    show(this.method, mixed || methodWords(over, this.published.labels.method[state.method] ?? ""));
  }

  /** The rows over the tests of a file. */
  async overFile(/** @type {string} */ file, /** @type {State} */ { method, cell, bridge }) {
    const over = await this.files.get(file);
    return { ...over, rows: overFaces(this.rows, over, method, { cell, bridge }) };
  }

  /** What is called like a query that finds nothing: each leads to what it finds. */
  nearest(/** @type {string} */ query) {
    const names = [...new Set(this.rows.map((row) => row.mask_label)), ...Object.values(this.published.labels.part)];
    const near = nearNames(query, names).flatMap((place) => names[place] ?? []);
    const buttons = near.map((name) => {
      const button = html("button", { type: "button" }, name);
      button.addEventListener("click", () => this.change({ ...this.state, q: name }));
      return button;
    });
    return html("p", {}, near.length ? say("search.near") : "", ...buttons);
  }

  async copy() {
    this.writeAddress();
    await copyLink(this.note, location.origin + location.pathname + queryOf(this.state, this.chosen));
  }

  /** Saves every row found, with the columns shown. */
  saveCsv() {
    const columns = columnsFrom(this.state.columns).flatMap((column) => FIELDS[column] ?? []);
    const names = [...NAMED, ...columns];
    const text = csv([names, ...this.found.map((row) => names.map((name) => row[name]))]);
    save(new Blob([text], { type: "text/csv;charset=utf-8" }), say("explore.file"));
    show(this.note, say("explore.saved", { configurations: count("configuration", this.found.length) }));
  }

  /** @param {string} action */
  button(action) {
    return find(this.form, `[data-action=${action}]`, HTMLElement);
  }
}

/** How a column is ordered by its first press. */
function firstOrder(/** @type {string} */ column) {
  return SORTS[column]?.falling ? `-${column}` : column;
}

/** The file with the figures over a face type and a method; "" where they are over everything. */
function fileOf(/** @type {State} */ { cell, bridge, method, near }) {
  if (near) return near;
  const face = `${cell || "any"}-${bridge || "any"}`;
  if (method) return atRoot(`methods/${method}/${face}.packed`);
  return cell || bridge ? atRoot(`faces/${face}.packed`) : "";
}

/** People near a face are no face type, and by any method: one choice takes the other back. */
function withoutOther(/** @type {State} */ state, /** @type {string} */ changed) {
  if (changed === "near" && state.near) return { ...state, cell: "", bridge: "", method: "" };
  const other = ["cell", "bridge", "method"].includes(changed) && (state.cell || state.bridge || state.method);
  return other ? { ...state, near: "" } : state;
}

/** The values of the form's fields; a number that is none counts as empty. @returns {Partial<State>} */
function filled(/** @type {HTMLFormElement} */ form) {
  const values = Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, String(value)]));
  const { wearers = "" } = values;
  const columns = writtenColumns(new FormData(form).getAll("columns").map(String));
  return { ...values, columns, wearers: /^[1-9]\d{0,3}$/.test(wearers) ? wearers : "" };
}

/** The values each select offers, "" aside. */
function choices(/** @type {HTMLFormElement} */ form) {
  const selects = findAll(form, "select", HTMLSelectElement);
  return Object.fromEntries(selects.map((select) => [select.name, new Set([...select.options].map((o) => o.value))]));
}
