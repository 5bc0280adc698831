// The explorer: search, filters and order, all of them in the address. Without this script the table stays as it is.
import { load, say } from "../common/elements.js";
import { chosenFrom } from "../compare/choice.js";
import { CompareBar } from "./compare-bar.js";
import { comparable, overFaces, rowsFrom, SORTS, view } from "./rows.js";
import { ExplorerTable } from "./table.js";
import { EVERYTHING, filtersSet, queryOf, stateFrom } from "./view-state.js";
import { countWords, faceWords, filtersWords, leftOutWords } from "./view-words.js";

// Browsers allow about a hundred changes of the address in half a minute; typing makes more.
const ADDRESS_DELAY_MS = 200;

// Where the filters would push the table out of sight, they fold away.
const NARROW = matchMedia("(max-width: 40rem)");

/** @param {HTMLElement} root */
export async function start(root) {
  const note = root.querySelector(".sb-explorer__note");
  try {
    const published = await load("configurations.json");
    new Explorer(root, note, published).restore();
  } catch (error) {
    say(note, "Search and filters could not be loaded. The table is as it was published.");
    throw error;
  }
}

class Explorer {
  /**
   * @param {HTMLElement} root
   * @param {HTMLElement} note
   * @param {any} published
   */
  constructor(root, note, published) {
    this.note = note;
    this.count = root.querySelector(".sb-explorer__count");
    this.form = root.querySelector("form");
    this.summary = this.form.querySelector("summary");
    this.rows = rowsFrom(published);
    this.comparable = comparable(this.rows);
    this.table = new ExplorerTable(root, published.strip, {
      onSort: (column) => this.sortBy(column),
      onTick: (id, ticked) => this.tick(id, ticked),
    });
    this.bar = new CompareBar(root.querySelector(".sb-explorer__bar"), () => this.unselect());
    this.state = EVERYTHING;
    /** Ids of the configurations to compare, in the order they were ticked. */
    this.chosen = [];
    this.allowed = { ...choices(this.form), sort: new Set(this.table.columns.flatMap((name) => [name, `-${name}`])) };
    /** The rows over the face type last chosen, kept so that a keystroke need not put them together again. */
    this.faces = { type: "", rows: this.rows, wearers: 0 };
    this.files = new Map();

    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", () => this.change({ ...this.state, ...filled(this.form) }));
    this.button("clear").addEventListener("click", () => this.change(EVERYTHING));
    this.button("copy").addEventListener("click", () => this.copy());
    addEventListener("popstate", () => this.restore());
    NARROW.addEventListener("change", () => this.fold());
    root.querySelector(".sb-explorer__more").hidden = true;
    this.form.hidden = false;
  }

  /** Takes the state from the address. */
  async restore() {
    const { state, ignored } = stateFrom(location.search, this.allowed);
    const { chosen, unknown, tooMany } = chosenFrom(location.search, this.comparable);
    say(this.note, leftOutWords({ ignored, unknown, tooMany }));
    this.showChosen(chosen);
    const ready = this.set(state);
    this.fold();
    await ready;
  }

  /** Shows the filters where there is room for them, or where one is set. */
  fold() {
    this.summary.hidden = !NARROW.matches;
    this.summary.parentElement.open = !NARROW.matches || filtersSet(this.state) > 0;
  }

  /**
   * Takes a new state from the reader, and brings the address in line.
   * @param {import("./view-state.js").State} state
   */
  async change(state) {
    say(this.note, "");
    clearTimeout(this.writing);
    this.writing = setTimeout(() => this.writeAddress(), ADDRESS_DELAY_MS);
    await this.set(state);
  }

  writeAddress() {
    clearTimeout(this.writing);
    history.replaceState(history.state, "", location.pathname + queryOf(this.state, this.chosen) + location.hash);
  }

  /** @param {string} column */
  sortBy(column) {
    const first = SORTS[column].falling ? `-${column}` : column;
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
    this.table.focus(last);
  }

  /** Takes a new choice of what to compare from the reader. */
  choose(/** @type {string[]} */ chosen) {
    this.showChosen(chosen);
    this.writeAddress();
  }

  showChosen(/** @type {string[]} */ chosen) {
    this.chosen = chosen;
    this.table.mark(chosen);
    this.bar.show(chosen);
  }

  /** @param {import("./view-state.js").State} state */
  async set(state) {
    this.state = state;
    this.summary.textContent = filtersWords(filtersSet(state));
    for (const [name, value] of Object.entries(state)) {
      const control = this.form.elements.namedItem(name);
      // Writing an unchanged value would move the cursor.
      if (control && control.value !== value) control.value = value;
    }
    const type = state.cell || state.bridge ? `${state.cell || "any"}-${state.bridge || "any"}` : "";
    if (type && this.faces.type !== type) {
      try {
        const over = await this.file(type);
        if (this.state !== state) return; // Changed again meanwhile.
        this.faces = { type, rows: overFaces(this.rows, over), wearers: over.wearers };
      } catch {
        if (this.state !== state) return;
        await this.set({ ...state, cell: "", bridge: "" });
        say(this.note, "The tests could not be loaded, so the figures are over all faces.");
        return;
      }
    }
    const found = view(type ? this.faces.rows : this.rows, state);
    this.table.show(found, state.sort);
    this.count.textContent = [
      countWords(found.length, this.rows.length),
      type ? faceWords(this.faces.wearers, state) : "",
    ].join(" ");
  }

  /** The figures of a face type. Its file is fetched once. */
  file(/** @type {string} */ type) {
    if (!this.files.has(type)) {
      const over = load(`faces/${type}.json`);
      this.files.set(type, over);
      over.catch(() => this.files.delete(type)); // The next choice tries again.
    }
    return this.files.get(type);
  }

  async copy() {
    this.writeAddress();
    try {
      await navigator.clipboard.writeText(location.href);
      say(this.note, "Link copied.");
    } catch {
      say(this.note, `The browser does not let this page copy. The link is ${location.href}`);
    }
  }

  /** @param {string} action */
  button(action) {
    return this.form.querySelector(`[data-action=${action}]`);
  }
}

/** The values of the form's fields; a number that is none counts as empty. */
function filled(/** @type {HTMLFormElement} */ form) {
  const values = Object.fromEntries(new FormData(form));
  const whole = /^[1-9]\d{0,3}$/.test(values.wearers);
  return { ...values, wearers: whole ? values.wearers : "" };
}

/** The values each select offers, "" aside. */
function choices(/** @type {HTMLFormElement} */ form) {
  const selects = [...form.querySelectorAll("select")];
  return Object.fromEntries(selects.map((select) => [select.name, new Set([...select.options].map((o) => o.value))]));
}
