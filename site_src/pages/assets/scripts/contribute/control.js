// One question on the page: label, control, hint, and what is wrong with the answer.
import { html, say } from "../common/elements.js";

/** The answers that have a button each; undefined for a question that is answered in one place. */
function choicesOf(question, /** @type {import("./schema.js").Field | null} */ field) {
  return (
    question.choices ?? (field.kind === "words" ? field.items.oneOf.map((word) => [word.const, word.title]) : undefined)
  );
}

export class Control {
  /**
   * @param {import("./layout.js").Question} question
   * @param {import("./schema.js").Field | null} field null for a choice that no key of an entry holds
   * @param {import("./options.js").Option[] | null} options of a list
   */
  constructor(question, field, options) {
    this.name = question.name;
    this.label = question.label;
    this.id = `field-${question.name}`;
    this.description = question.hint ?? field?.description ?? "";
    this.hint = html("p", { class: "sb-field__hint", id: `${this.id}-hint` });
    this.problem = html("p", { class: "sb-field__problem", id: `${this.id}-problem`, hidden: "" });
    const choices = choicesOf(question, field);
    this.inputs = choices ? buttons(this, choices, field ? "checkbox" : "radio") : [single(this, field, options)];
    this.element = choices ? this.set(choices) : this.framed(question, field);
    if (options) this.offer(options);
    else say(this.hint, this.description);
  }

  get first() {
    return this.inputs[0];
  }

  /** @returns {string | boolean | string[]} */
  get value() {
    if (this.first.type === "radio") return this.inputs.find((input) => input.checked)?.value ?? "";
    if (this.first.type !== "checkbox") return this.first.value;
    if (this.element.tagName !== "FIELDSET") return this.first.checked;
    return this.inputs.filter((input) => input.checked).map((input) => input.value);
  }

  set value(/** @type {any} */ value) {
    if (this.first.type === "radio") for (const input of this.inputs) input.checked = input.value === value;
    else if (this.first.type !== "checkbox") this.first.value = value;
    else if (this.element.tagName !== "FIELDSET") this.first.checked = value === true;
    else for (const input of this.inputs) input.checked = Array.isArray(value) && value.includes(input.value);
    this.explain();
  }

  get isAnswered() {
    return Array.isArray(this.value) ? this.value.length > 0 : this.value !== "" && this.value !== false;
  }

  /** Puts choices into a list; a choice that is gone from it is taken back. */
  offer(/** @type {import("./options.js").Option[]} */ options) {
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
    say(this.hint, meaning ?? this.description);
  }

  /**
   * Says what is wrong with the answer, or worth a second look.
   * @param {string} problem
   * @param {string} warning
   */
  judge(problem, warning) {
    const text = problem || warning;
    if (this.problem.textContent !== text) say(this.problem, text);
    this.element.classList.toggle("sb-field--wrong", problem !== "");
    for (const input of this.inputs) {
      if (problem) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
  }

  framed(question, field) {
    const unit = question.unit ? html("span", { class: "sb-muted" }, ` ${question.unit}`) : null;
    const label = html("label", { for: this.id }, question.label, unit);
    const checkbox = this.first.type === "checkbox";
    const wide = ["prose", "lines"].includes(field.kind) ? " sb-field--wide" : "";
    const inside = checkbox ? [html("span", { class: "sb-field__tick" }, this.first, label)] : [label, this.first];
    return html("div", { class: `sb-field${wide}` }, ...inside, this.problem, this.hint);
  }

  set(/** @type {[string, string][]} */ choices) {
    const labels = choices.map(([, text], place) =>
      html("label", { class: "sb-field__tick" }, this.inputs[place], html("span", {}, text)),
    );
    const attributes = { class: "sb-field sb-field--wide", "aria-describedby": described(this) };
    const inside = html("div", { class: "sb-field__set" }, ...labels);
    return html("fieldset", attributes, html("legend", {}, this.label), inside, this.problem, this.hint);
  }
}

/** The inputs of a choice with a button each. */
function buttons(
  /** @type {Control} */ { id, name },
  /** @type {[string, string][]} */ choices,
  /** @type {string} */ type,
) {
  return choices.map(([value], place) => html("input", { type, name, value, id: place ? `${id}-${place}` : id }));
}

/** The one input, list or text area of a question. */
function single(/** @type {Control} */ control, /** @type {import("./schema.js").Field} */ field, options) {
  const shared = { id: control.id, name: control.name, "aria-describedby": described(control) };
  const attributes = field.required ? { ...shared, "aria-required": "true" } : shared;
  if (options) return html("select", attributes);
  if (field.kind === "prose" || field.kind === "lines") return html("textarea", { ...attributes, rows: 2 });
  if (field.kind === "boolean") return html("input", { ...attributes, type: "checkbox" });
  if (field.kind === "date") return html("input", { ...attributes, type: "date" });
  const keys = { number: "decimal", integer: "numeric" }[field.kind] ?? "text";
  return html("input", { ...attributes, type: "text", inputmode: keys, autocapitalize: "none", spellcheck: "false" });
}

function described(/** @type {Control} */ control) {
  return `${control.id}-problem ${control.id}-hint`;
}
