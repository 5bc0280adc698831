// The explorer: search, filters and order, all of them in the address. Without this script the table stays as it is.
import { load, say } from "./elements.js";
import { overFaces, rowsFrom, SORTS, view } from "./explorer-rows.js";
import { EVERYTHING, queryOf, stateFrom } from "./explorer-state.js";
import { ExplorerTable } from "./explorer-table.js";
import { countWords, faceWords, ignoredWords } from "./explorer-words.js";

// Browsers allow about a hundred changes of the address in half a minute; typing makes more.
const ADDRESS_DELAY_MS = 200;

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
    this.rows = rowsFrom(published);
    this.table = new ExplorerTable(root, published.top, (column) => this.sortBy(column));
    this.state = EVERYTHING;
    this.allowed = { ...choices(this.form), sort: new Set(this.table.columns.flatMap((name) => [name, `-${name}`])) };
    this.faces = { key: "", rows: this.rows, wearers: 0 };
    this.tests = null;

    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", () => this.change({ ...this.state, ...filled(this.form) }));
    this.button("clear").addEventListener("click", () => this.change(EVERYTHING));
    this.button("copy").addEventListener("click", () => this.copy());
    addEventListener("popstate", () => this.restore());
    root.querySelector(".sb-explorer__more").hidden = true;
    this.form.hidden = false;
  }

  /** Takes the state from the address. */
  async restore() {
    const { state, ignored } = stateFrom(location.search, this.allowed);
    say(this.note, ignoredWords(ignored));
    await this.set(state);
  }

  /**
   * Takes a new state from the reader, and brings the address in line.
   * @param {import("./explorer-state.js").State} state
   */
  async change(state) {
    say(this.note, "");
    clearTimeout(this.writing);
    this.writing = setTimeout(() => this.writeAddress(), ADDRESS_DELAY_MS);
    await this.set(state);
  }

  writeAddress() {
    clearTimeout(this.writing);
    history.replaceState(history.state, "", location.pathname + queryOf(this.state) + location.hash);
  }

  /** @param {string} column */
  sortBy(column) {
    const first = SORTS[column].falling ? `-${column}` : column;
    const other = first === column ? `-${column}` : column;
    this.change({ ...this.state, sort: this.state.sort === first ? other : first });
  }

  /** @param {import("./explorer-state.js").State} state */
  async set(state) {
    this.state = state;
    for (const [name, value] of Object.entries(state)) {
      const control = this.form.elements.namedItem(name);
      // Writing an unchanged value would move the cursor.
      if (control && control.value !== value) control.value = value;
    }
    const anyFace = !state.cell && !state.bridge;
    if (!anyFace && !this.tests) {
      try {
        this.tests = await load("tests.json");
      } catch {
        await this.set({ ...state, cell: "", bridge: "" });
        say(this.note, "The tests could not be loaded, so the figures are over all faces.");
        return;
      }
      if (this.state !== state) return; // Changed again meanwhile.
    }
    const { rows, wearers } = anyFace ? { rows: this.rows, wearers: 0 } : this.overFaces(state);
    const found = view(rows, state);
    this.table.show(found, state.sort);
    this.count.textContent = [countWords(found.length, this.rows.length), anyFace ? "" : faceWords(wearers, state)].join(" ");
  }

  /** The rows over a face type, kept until another is chosen, so that a keystroke need not count them again. */
  overFaces({ cell, bridge }) {
    const key = `${cell} ${bridge}`;
    if (this.faces.key !== key) this.faces = { key, ...overFaces(this.rows, this.tests, { cell, bridge }) };
    return this.faces;
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
