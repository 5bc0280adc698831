// One question on the page: label, control, hint, and what is wrong with the answer.
import { html, show } from "../common/elements.js";

/**
 * @typedef {import("./layout.js").Question} Question
 * @typedef {import("./schema.js").Field} Field
 * @typedef {import("./options.js").Option} Option
 * @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Input
 */

export class Control {
  /**
   * @param {Question} question
   * @param {Field | null} field null for a choice that no key of an entry holds
   * @param {Option[] | null} options of a list
   */
  constructor(question, field, options) {
    this.name = question.name;
    this.label = question.label;
    this.id = `field-${question.name}`;
    this.description = question.hint ?? field?.description ?? "";
    this.hint = html("p", { class: "sb-field__hint", id: `${this.id}-hint` });
    this.problem = html("p", { class: "sb-field__problem", id: `${this.id}-problem`, hidden: "" });
    /** What a list offers. @type {Option[] | null} */
    this.options = null;
    this.offered = "";
    const choices = question.choices ?? wordsOf(field);
    /** One for each choice, where any or one of them can be chosen. @type {HTMLInputElement[]} */
    this.buttons = choices ? buttons(this, choices, field?.kind === "words" ? "checkbox" : "radio") : [];
    /** The first of them or the only input. @type {Input} */
    this.first = this.buttons[0] ?? single(this, field, options);
    this.element = choices ? this.together(choices) : this.framed(question, field);
    if (options) this.offer(options);
    else show(this.hint, this.description);
  }

  /** @returns {import("./names.js").Answer} */
  get value() {
    const { first } = this;
    if (first.type === "radio") return this.buttons.find((input) => input.checked)?.value ?? "";
    if (this.buttons.length) return this.buttons.filter((input) => input.checked).map((input) => input.value);
    return isTick(first) ? first.checked : first.value;
  }

  set value(/** @type {import("./names.js").Answer} */ value) {
    const { first } = this;
    const chosen = Array.isArray(value) ? value : [value];
    if (this.buttons.length) for (const input of this.buttons) input.checked = chosen.includes(input.value);
    else if (isTick(first)) first.checked = value === true;
    else first.value = String(value);
    this.explain();
  }

  get isAnswered() {
    return Array.isArray(this.value) ? this.value.length > 0 : this.value !== "" && this.value !== false;
  }

  /** Puts choices into a list; a choice that is gone from it is taken back. */
  offer(/** @type {Option[]} */ options) {
    const changed = JSON.stringify(options);
    if (changed !== this.offered) {
      const { value } = this.first;
      this.first.replaceChildren(...options.map((option) => html("option", { value: option.value }, option.label)));
      this.first.value = options.some((option) => option.value === value) ? value : "";
      this.offered = changed;
      this.options = options;
    }
    this.explain();
  }

  /** Says what the chosen word means. */
  explain() {
    if (!this.options) return;
    const meaning = this.options.find((option) => option.value === this.first.value)?.meaning;
    show(this.hint, meaning ?? this.description);
  }

  /**
   * Says what is wrong with the answer, or worth a second look.
   * @param {string} problem
   * @param {string} warning
   */
  judge(problem, warning) {
    const text = problem || warning;
    if (this.problem.textContent !== text) show(this.problem, text);
    this.element.classList.toggle("sb-field--wrong", problem !== "");
    for (const input of this.buttons.length ? this.buttons : [this.first]) {
      if (problem) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
  }

  framed(/** @type {Question} */ question, /** @type {Field | null} */ field) {
    const unit = question.unit ? html("span", { class: "sb-muted" }, ` ${question.unit}`) : null;
    const label = html("label", { for: this.id }, question.label, unit);
    const wide = field?.kind === "prose" || field?.kind === "lines" ? " sb-field--wide" : "";
    const inside = isTick(this.first)
      ? [html("span", { class: "sb-field__tick" }, this.first, label)]
      : [label, this.first];
    return html("div", { class: `sb-field${wide}` }, ...inside, this.problem, this.hint);
  }

  together(/** @type {[string, string][]} */ choices) {
    const texts = new Map(choices);
    const labels = this.buttons.map((button) =>
      html("label", { class: "sb-field__tick" }, button, html("span", {}, texts.get(button.value) ?? "")),
    );
    const attributes = { class: "sb-field sb-field--wide", "aria-describedby": described(this) };
    const inside = html("div", { class: "sb-field__set" }, ...labels);
    return html("fieldset", attributes, html("legend", {}, this.label), inside, this.problem, this.hint);
  }
}

/** @returns {input is HTMLInputElement} */
function isTick(/** @type {Input} */ input) {
  return input.type === "checkbox";
}

/** The words that an answer may hold several of, each with its label; undefined for any other kind. */
function wordsOf(/** @type {Field | null} */ field) {
  if (field?.kind !== "words") return undefined;
  return field.items?.oneOf?.map((word) => /** @type {[string, string]} */ ([word.const, word.title]));
}

/** The inputs of a choice with a button each. */
function buttons(
  /** @type {Control} */ { id, name },
  /** @type {[string, string][]} */ choices,
  /** @type {string} */ type,
) {
  return choices.map(([value], place) => html("input", { type, name, value, id: place ? `${id}-${place}` : id }));
}

/**
 * The one input, list or text area of a question.
 * @param {Control} control
 * @param {Field | null} field
 * @param {Option[] | null} options
 * @returns {Input}
 */
function single(control, field, options) {
  const shared = { id: control.id, name: control.name, "aria-describedby": described(control) };
  const attributes = field?.required ? { ...shared, "aria-required": "true" } : shared;
  if (options) return html("select", attributes);
  if (field?.kind === "prose" || field?.kind === "lines") return html("textarea", { ...attributes, rows: 2 });
  if (field?.kind === "boolean") return html("input", { ...attributes, type: "checkbox" });
  if (field?.kind === "date") return html("input", { ...attributes, type: "date" });
  const keys = field?.kind === "number" ? "decimal" : field?.kind === "integer" ? "numeric" : "text";
  return html("input", { ...attributes, type: "text", inputmode: keys, autocapitalize: "none", spellcheck: "false" });
}

function described(/** @type {Control} */ control) {
  return `${control.id}-problem ${control.id}-hint`;
}
