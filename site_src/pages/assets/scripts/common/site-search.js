// The search of the whole site: masks, parts, pages and their sections, offered as you type. Without this script, and
// with Enter, the explorer searches.
import { Combobox } from "./combobox.js";
import { rowsFromColumns } from "./columns.js";
import { find, html } from "./elements.js";
import { PAGES, load } from "./files.js";
import { say } from "./say.js";
import { Index, nearNames } from "./search.js";

const MOST = 8;
/** A word in the name is worth this many in the text. */
const NAMED = 3;

/** @type {Promise<Places> | undefined} fetched once a page, however many fields ask */
let places;

/** @param {HTMLElement} form around a search field */
export function start(form) {
  const input = find(form, "input[type=search]", HTMLInputElement);
  const list = html("ul", { id: `${input.id}-options`, class: "sb-combobox__options", role: "listbox", "aria-label": say("search.found") });
  list.hidden = true;
  input.after(list);
  const attributes = { role: "combobox", "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": list.id };
  for (const [name, value] of Object.entries(attributes)) input.setAttribute(name, value);
  /** @type {Places | undefined} */
  let ready;
  const field = new Combobox(input, {
    search: (query) => ready?.find(query) ?? null,
    choose: go,
    enter: (first) => {
      if (first !== undefined && ready?.namesPage(first, input.value)) go(first);
      else if (form instanceof HTMLFormElement) form.requestSubmit();
    },
  });
  const prepare = async () => {
    places ??= load(new URL("assets/search.json", PAGES).href).then((file) => new Places(/** @type {Published.Search} */ (file)));
    const known = ready !== undefined;
    ready = await places;
    if (!known && document.activeElement === input && input.value) field.open();
  };
  input.addEventListener("focus", prepare);
  // Whoever was faster than this script.
  if (document.activeElement === input) prepare();
}

function go(/** @type {string} */ address) {
  location.assign(new URL(address, PAGES));
}

/** Every place of the site that can be found. */
class Places {
  /** @param {Published.Search} published */
  constructor(published) {
    this.rows = rowsFromColumns(published);
    this.names = new Index(this.rows.map(({ name, within }) => `${name} ${within}`));
    this.texts = new Index(this.rows.map(({ name, within, words }) => `${name} ${within} ${words}`));
  }

  /**
   * The best places for a query, as choices.
   * @param {string} query
   * @returns {import("./combobox.js").Choice[]}
   */
  find(query) {
    if (!query.trim()) return [];
    const { scores: named } = this.names.find(query);
    const { scores } = this.texts.find(query);
    // What is named so comes before what merely speaks of it.
    const worth = (/** @type {number} */ place) => (scores.get(place) ?? 0) + NAMED * (named.get(place) ?? 0);
    const found = [...scores.keys()].sort((a, b) => worth(b) - worth(a) || a - b);
    const near = found.length ? [] : nearNames(query, this.rows.map(({ name }) => name));
    return [...found, ...near]
      .slice(0, MOST)
      .flatMap((place) => this.rows[place] ?? [])
      .map(({ address, name, within }) => ({ value: address, label: name, hint: within, near: near.length > 0 }));
  }

  /**
   * Whether an address is of a page or a section that is called what was typed: the explorer does not find these.
   * @param {string} address
   * @param {string} query
   */
  namesPage(address, query) {
    const place = this.rows.findIndex((row) => row.address === address);
    return this.rows[place]?.kind === "page" && this.names.find(query).scores.has(place);
  }
}
