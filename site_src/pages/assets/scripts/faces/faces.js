// The face page: the reader picks a face, the address holds it, and the list of its face type is fetched and drawn.
import { fieldNamed, find, findAll, html, nameOf, show } from "../common/elements.js";
import { Kept, load } from "../common/files.js";
import { copyLink } from "../common/link.js";
import { cellOf, isSmall } from "../common/panel.js";
import { say } from "../common/say.js";
import { firstList, rankedList } from "./advice-list.js";
import { allowed, NOTHING, only, queryOf, stateFrom } from "./face-state.js";
import { faceWords, lackWords, leftOutWords, smallWords } from "./face-words.js";

/** @typedef {import("./face-state.js").State} State */
/** @typedef {import("./face-state.js").Key} Key */

// The address holds the face; no request may carry it along.
const UNTOLD = /** @type {const} */ ({ referrerPolicy: "no-referrer" });

/** The keys with a field of the form. @type {Key[]} */
const FIELDS = ["length", "width", "cell", "bridge", "masks"];

// Browsers allow about a hundred changes of the address in half a minute; typing makes more.
const ADDRESS_DELAY_MS = 200;

/** @param {HTMLElement} root */
export async function start(root) {
  document.head.append(html("meta", { name: "referrer", content: "no-referrer" }));
  const note = find(root, ".sb-face__note", HTMLElement);
  try {
    const panel = /** @type {Published.Panel} */ (await load("panel.json", UNTOLD));
    new Faces(root, note, panel).restore();
  } catch (error) {
    show(note, say("face.not_loaded"));
    throw error;
  }
}

class Faces {
  /**
   * @param {HTMLElement} root
   * @param {HTMLElement} note
   * @param {Published.Panel} panel
   */
  constructor(root, note, panel) {
    this.root = root;
    this.note = note;
    this.panel = panel;
    this.form = find(root, "form", HTMLFormElement);
    this.whose = find(root, ".sb-face__whose", HTMLElement);
    this.first = find(root, ".sb-face__first", HTMLElement);
    this.ranked = find(root, ".sb-face__ranked", HTMLElement);
    this.state = NOTHING;
    /** A change of the address that is still to come. @type {number | undefined} */
    this.writing = undefined;
    this.lists = new Kept(
      async (type) => /** @type {Published.Advice} */ (await load(`advice/${type}.json`, UNTOLD)),
    );

    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", (event) => this.input(nameOf(event)));
    this.button("unknown").addEventListener("click", () => {
      this.change({ ...this.state, ...only("face"), face: "unknown" });
    });
    this.button("copy").addEventListener("click", () => this.copy());
    addEventListener("popstate", () => this.restore());
    this.form.hidden = false;
    find(root, ".sb-face__private", HTMLElement).hidden = false;
    find(root, ".sb-face__bare", HTMLElement).hidden = true;
  }

  /** Takes the face from the address. */
  async restore() {
    const { state, ignored } = stateFrom(location.search, this.panel);
    for (const [name, value] of Object.entries(state)) {
      const field = fieldNamed(this.form, name);
      if (field instanceof HTMLInputElement && field.type === "checkbox") field.checked = value !== "all";
      else if (field) field.value = value;
    }
    show(this.note, leftOutWords(ignored) || this.lack());
    await this.set(state);
  }

  /**
   * Takes what the reader typed or chose in a field.
   * @param {string} name
   */
  async input(name) {
    const filled = FIELDS.find((key) => key === name);
    if (filled && this.field(filled) !== "") this.empty(Object.keys(only(filled)));
    const state = { ...NOTHING };
    for (const key of FIELDS) {
      if (this.field(key) !== "" && allowed(key, this.field(key), this.panel)) state[key] = this.field(key);
    }
    await this.change(state);
  }

  /**
   * Takes a new state, and brings the address in line.
   * @param {State} state
   */
  async change(state) {
    if (state.face) this.empty(["length", "width", "cell"]);
    show(this.note, this.lack());
    clearTimeout(this.writing);
    this.writing = setTimeout(() => this.writeAddress(state), ADDRESS_DELAY_MS);
    await this.set(state);
  }

  /** @param {State} state */
  writeAddress(state) {
    clearTimeout(this.writing);
    history.replaceState(history.state, "", location.pathname + queryOf(state) + location.hash);
  }

  /** @param {State} state */
  async set(state) {
    this.state = state;
    const { length, width, cell } = state;
    const place = length && width ? cellOf(Number(length), Number(width), this.panel.cells) : cell || "unknown";
    const face = `${place === "outside" ? "unknown" : place}-${state.bridge || "unknown"}`;
    const all = state.masks === "all";
    const type = all ? face : `${face}-as-sold`;
    if (length && width && isSmall(Number(length), Number(width), this.panel.least)) {
      this.showSmall(state);
      return;
    }
    let advice;
    try {
      advice = await this.lists.get(type);
    } catch {
      show(this.note, say("face.no_list"));
      return;
    }
    if (this.state !== state) return; // Changed again meanwhile.
    const masks = say(all ? "face.changed_too" : "face.as_sold_only");
    this.whose.textContent = [faceWords(state, place, this.panel), masks].join(" ");
    this.first.replaceChildren(...firstList(advice));
    this.ranked.replaceChildren(...rankedList(advice));
    for (const rect of findAll(this.root, "[data-cell]", SVGElement)) {
      rect.classList.toggle("sb-panel__cell--here", rect.dataset.cell === place);
    }
    this.root.dataset.shown = type;
  }

  /** Says why there is no list, in its place. */
  showSmall(/** @type {State} */ state) {
    this.whose.textContent = smallWords(state, this.panel.least);
    this.first.replaceChildren();
    this.ranked.replaceChildren();
    for (const rect of findAll(this.root, "[data-cell]", SVGElement)) {
      rect.classList.remove("sb-panel__cell--here");
    }
    this.root.dataset.shown = "small";
  }

  async copy() {
    this.writeAddress(this.state);
    await copyLink(this.note);
  }

  lack() {
    const typed = { length: this.field("length"), width: this.field("width") };
    return lackWords(typed, (key, value) => allowed(key, value, this.panel), this.panel.limits);
  }

  /** What stands in a field, "all" for a box without its tick; a decimal comma counts as a point. */
  field(/** @type {Key} */ name) {
    const field = fieldNamed(this.form, name);
    if (!field) return "";
    if (field instanceof HTMLInputElement && field.type === "checkbox" && !field.checked) return "all";
    return field.value.trim().replace(",", ".");
  }

  empty(/** @type {string[]} */ names) {
    for (const name of names) {
      const field = fieldNamed(this.form, name);
      if (field) field.value = "";
    }
  }

  /** @param {string} action */
  button(action) {
    return find(this.form, `[data-action=${action}]`, HTMLElement);
  }
}
