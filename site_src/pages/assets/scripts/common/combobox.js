// A text field with a list of choices below it: the combobox with list autocomplete of the ARIA Authoring Practices.
import { find, html } from "./elements.js";
import { plain } from "./spelling.js";

const MOST_OPTIONS = 50;

/** @typedef {{value: string, label: string, hint: string}} Choice */

export class Combobox {
  /**
   * @param {HTMLInputElement} input with role combobox, in control of a listbox
   * @param {{choices: () => Choice[], choose: (value: string) => void}} use `choices` in the order to offer them
   */
  constructor(input, use) {
    this.input = input;
    this.list = find(document, `#${input.getAttribute("aria-controls")}`, HTMLUListElement);
    this.use = use;
    this.active = -1;
    input.addEventListener("input", () => this.open());
    input.addEventListener("click", () => this.open());
    input.addEventListener("blur", () => this.close());
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
    const words = plain(this.input.value).trim().split(/\s+/);
    const found = this.use.choices().filter(({ label }) => words.every((word) => plain(label).includes(word)));
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
  }

  close() {
    this.show(false);
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
      // Who has typed enough need not point at the first match.
      if (this.isOpen) this.take(this.options[this.active < 0 && this.input.value ? 0 : this.active]);
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
