// The face page: the reader picks a face, the address holds it, and the list of its face type is fetched and drawn.
import { html, say } from "../common/elements.js";
import { firstList, rankedList } from "./advice-list.js";
import { allowed, cellOf, NOTHING, only, queryOf, stateFrom } from "./face-state.js";
import { faceWords, lackWords } from "./face-words.js";

// Browsers allow about a hundred changes of the address in half a minute; typing makes more.
const ADDRESS_DELAY_MS = 200;

/** @param {HTMLElement} root */
export async function start(root) {
  // The address holds the face; no request may carry it along.
  document.head.append(html("meta", { name: "referrer", content: "no-referrer" }));
  const note = root.querySelector(".sb-face__note");
  try {
    new Faces(root, note, await load("panel.json")).restore();
  } catch (error) {
    say(note, "Picking a face could not be loaded. The list is the one for any face.");
    throw error;
  }
}

class Faces {
  /**
   * @param {HTMLElement} root
   * @param {HTMLElement} note
   * @param {any} panel
   */
  constructor(root, note, panel) {
    this.root = root;
    this.note = note;
    this.panel = panel;
    this.form = root.querySelector("form");
    this.whose = root.querySelector(".sb-face__whose");
    this.state = NOTHING;
    this.lists = new Map();

    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", (event) => this.input(event.target.name));
    this.button("unknown").addEventListener("click", () => this.change({ ...this.state, ...only("face"), face: "unknown" }));
    this.button("copy").addEventListener("click", () => this.copy());
    addEventListener("popstate", () => this.restore());
    this.form.hidden = false;
    root.querySelector(".sb-face__private").hidden = false;
    root.querySelector(".sb-face__bare").hidden = true;
  }

  /** Takes the face from the address. */
  async restore() {
    const { state, ignored } = stateFrom(location.search, this.panel);
    for (const [name, value] of Object.entries(state)) {
      const field = this.form.elements.namedItem(name);
      if (field?.type === "checkbox") field.checked = value !== "";
      else if (field) field.value = value;
    }
    const left = ignored.map(({ key, value }) => `${key}=${value}`).join(", ");
    say(this.note, left ? `Left out of the address, as it fits no face or something better is given: ${left}.` : this.lack());
    await this.set(state);
  }

  /**
   * Takes what the reader typed or chose in a field.
   * @param {string} name
   */
  async input(name) {
    const filled = only(name);
    for (const other of Object.keys(filled)) {
      const field = this.form.elements.namedItem(other);
      if (field && this.field(name) !== "") field.value = "";
    }
    const state = { ...NOTHING };
    for (const key of ["length", "width", "cell", "bridge", "masks"]) {
      if (this.field(key) !== "" && allowed(key, this.field(key), this.panel)) state[key] = this.field(key);
    }
    await this.change(state);
  }

  /**
   * Takes a new state, and brings the address in line.
   * @param {import("./face-state.js").State} state
   */
  async change(state) {
    if (state.face) for (const name of ["length", "width", "cell"]) this.form.elements.namedItem(name).value = "";
    say(this.note, this.lack());
    clearTimeout(this.writing);
    this.writing = setTimeout(() => this.writeAddress(state), ADDRESS_DELAY_MS);
    await this.set(state);
  }

  /** @param {import("./face-state.js").State} state */
  writeAddress(state) {
    clearTimeout(this.writing);
    history.replaceState(history.state, "", location.pathname + queryOf(state) + location.hash);
  }

  /** @param {import("./face-state.js").State} state */
  async set(state) {
    this.state = state;
    const { length, width, cell } = state;
    const place = length && width ? cellOf(Number(length), Number(width), this.panel.cells) : cell || "unknown";
    const face = `${place === "outside" ? "unknown" : place}-${state.bridge || "unknown"}`;
    const type = state.masks ? `${face}-${state.masks}` : face;
    let advice;
    try {
      advice = await this.list(type);
    } catch {
      say(this.note, "The list for this face could not be loaded; the one below is for another.");
      return;
    }
    if (this.state !== state) return; // Changed again meanwhile.
    this.whose.textContent = `${faceWords(state, place, this.panel)}${state.masks ? " Masks as sold only." : ""}`;
    this.root.querySelector(".sb-face__first").replaceChildren(...firstList(advice));
    this.root.querySelector(".sb-face__ranked").replaceChildren(...rankedList(advice));
    for (const rect of this.root.querySelectorAll("[data-cell]")) {
      rect.classList.toggle("sb-panel__cell--here", rect.dataset.cell === place);
    }
    this.root.dataset.shown = type;
  }

  /** The list of a face type, fetched once. */
  async list(/** @type {string} */ type) {
    if (!this.lists.has(type)) this.lists.set(type, await load(`advice/${type}.json`));
    return this.lists.get(type);
  }

  async copy() {
    this.writeAddress(this.state);
    try {
      await navigator.clipboard.writeText(location.href);
      say(this.note, "Link copied.");
    } catch {
      say(this.note, `The browser does not let this page copy. The link is ${location.href}`);
    }
  }

  lack() {
    const typed = { length: this.field("length"), width: this.field("width") };
    return lackWords(typed, (key, value) => allowed(key, value, this.panel), this.panel.limits);
  }

  /** What stands in a field, "" for a box without its tick; a decimal comma counts as a point. */
  field(/** @type {string} */ name) {
    const field = this.form.elements.namedItem(name);
    return field.type === "checkbox" && !field.checked ? "" : field.value.trim().replace(",", ".");
  }

  /** @param {string} action */
  button(action) {
    return this.form.querySelector(`[data-action=${action}]`);
  }
}

async function load(/** @type {string} */ file) {
  const response = await fetch(file, { referrerPolicy: "no-referrer" });
  if (!response.ok) throw new Error(`${file}: ${response.status}`);
  return response.json();
}
