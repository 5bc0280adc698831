// A text field with a list of choices below it: the combobox with list autocomplete of the ARIA Authoring Practices.
import { find, html } from "./elements.js";
import { notHere } from "./not-here.js";
import { Index, nearNames } from "./search.js";

const MOST_OPTIONS = 50;

/**
 * @typedef {{value: string, label: string, hint: string, text?: string, near?: boolean}} Choice
 *   `text` is found too, `near` is only like what was typed
 */

export class Combobox {
  /**
   * @param {HTMLInputElement} input with role combobox, in control of a listbox
   * @param {object} use
   * @param {(query: string) => Choice[] | null} use.search what to offer for a query, in order; null where that is not known yet
   * @param {(value: string) => void} use.choose
   * @param {(first: string | undefined) => void} [use.enter] for Enter while nothing is pointed at; else it takes the first
   */
  constructor(input, use) {
    this.input = input;
    this.list = find(document, `#${input.getAttribute("aria-controls")}`, HTMLUListElement);
    /** Said below where nothing is called what was typed. */
    this.none = html("div", { class: "sb-combobox__none", role: "status" });
    this.none.hidden = true;
    const popup = html("div", { class: "sb-combobox__popup" });
    this.list.replaceWith(popup);
    popup.append(this.list, this.none);
    this.use = use;
    this.active = -1;
    /** Whether something is called what was typed. */
    this.isCertain = false;
    input.addEventListener("input", () => this.open());
    input.addEventListener("click", () => this.open());
    for (const place of [input, this.none]) {
      place.addEventListener("focusout", ({ relatedTarget }) => {
        if (!(relatedTarget instanceof Node && this.none.contains(relatedTarget))) this.close();
      });
    }
    input.addEventListener("keydown", (event) => this.press(event));
    // Keeps the focus in the field.
    this.list.addEventListener("mousedown", (event) => event.preventDefault());
    this.list.addEventListener("click", ({ target }) => {
      if (target instanceof Element) this.take(target.closest("li"));
    });
  }

  get options() {
    return [...this.list.querySelectorAll("li")];
  }

  get isOpen() {
    return !this.list.hidden;
  }

  open() {
    const known = this.use.search(this.input.value);
    const found = known ?? [];
    this.isCertain = found.some(({ near }) => !near);
    const options = found.slice(0, MOST_OPTIONS).map(({ value, label, hint }, index) =>
      html(
        "li",
        { role: "option", id: `${this.list.id}-${index}`, "aria-selected": "false", "data-value": value },
        html("span", {}, label),
        " ",
        html("span", { class: "sb-muted" }, hint),
      ),
    );
    this.list.replaceChildren(...options);
    this.show(options.length > 0);
    this.none.replaceChildren(...(known && this.input.value.trim() && !this.isCertain ? [notHere()] : []));
    this.none.hidden = !this.none.hasChildNodes();
  }

  close() {
    this.show(false);
    this.none.hidden = true;
  }

  show(/** @type {boolean} */ open) {
    this.list.hidden = !open;
    this.input.setAttribute("aria-expanded", String(open));
    this.mark(-1);
  }

  /** Makes an option the active one; -1 for none. */
  mark(/** @type {number} */ index) {
    this.active = index;
    for (const [place, option] of this.options.entries()) option.setAttribute("aria-selected", String(place === index));
    const option = this.options[index];
    if (option) {
      this.input.setAttribute("aria-activedescendant", option.id);
      option.scrollIntoView({ block: "nearest" });
    } else {
      this.input.removeAttribute("aria-activedescendant");
    }
  }

  press(/** @type {KeyboardEvent} */ event) {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      const step = event.key === "ArrowDown" ? 1 : -1;
      event.preventDefault();
      if (!this.isOpen) this.open();
      const n = this.options.length;
      const from = this.active < 0 && step < 0 ? 0 : this.active;
      if (n) this.mark((from + step + n) % n);
    } else if (event.key === "Enter") {
      event.preventDefault();
      if (this.use.enter && this.active < 0) this.use.enter(this.isOpen ? this.options[0]?.dataset.value : undefined);
      // Who has typed enough need not point at the first match.
      else if (this.isOpen) this.take(this.options[this.active < 0 && this.input.value && this.isCertain ? 0 : this.active]);
    } else if (event.key === "Escape") {
      if (!this.isOpen) this.input.value = "";
      this.close();
    }
  }

  take(/** @type {HTMLElement | undefined | null} */ option) {
    if (!option) return;
    this.input.value = "";
    this.close();
    this.use.choose(option.dataset.value ?? "");
  }
}

/**
 * Those of some choices that a query finds, in their order; where it finds none, those with names like it.
 * @param {Choice[]} choices
 * @param {string} query
 * @returns {Choice[]}
 */
export function chosenBy(choices, query) {
  const { scores } = new Index(choices.map(({ label, text }) => `${label} ${text ?? ""}`)).find(query);
  if (scores.size) return choices.filter((_, place) => scores.has(place));
  const near = nearNames(query, choices.map(({ label }) => label));
  return near.flatMap((place) => choices[place] ?? []).map((choice) => ({ ...choice, near: true }));
}
