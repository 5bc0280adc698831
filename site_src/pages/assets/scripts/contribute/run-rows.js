// The exercises or the counted stretches of a run: a list of tables that begins as the protocol has it.
import { html, show } from "../common/elements.js";
import { say } from "../common/say.js";
import { Control } from "./control.js";
import { fieldOf } from "./entries.js";
import { rowsOf, textOf } from "./names.js";
import { optionsFor } from "./options.js";
import { fieldAt } from "./schema.js";

/**
 * @typedef {object} List a list of tables in the form
 * @property {string} name of the list
 * @property {string} label
 * @property {string} add
 * @property {{key: string, label: string}[]} keys
 */

/** @type {List} */
const EXERCISE_LIST = {
  name: "test.result.exercise",
  label: say("form.exercises"),
  add: say("form.add_exercise"),
  keys: [
    { key: "name", label: say("form.exercise") },
    { key: "fit_factor", label: say("form.fit_factor") },
    { key: "at_least", label: say("form.at_least") },
  ],
};
/** @type {List} */
const STRETCH_LIST = {
  name: "test.result.counts",
  label: say("form.stretches"),
  add: say("form.add_stretch"),
  keys: [
    { key: "phase", label: say("form.phase") },
    { key: "exercise", label: say("form.exercise") },
    { key: "seconds", label: say("form.seconds") },
    { key: "particles", label: say("form.particles") },
    { key: "concentration", label: say("form.column_per_cm3") },
  ],
};
const MEASURED = ["fit_factor", "particles", "concentration"];

/**
 * @typedef {import("./names.js").Answer} Answer
 * @typedef {import("./names.js").Answers} Answers
 * @typedef {Record<string, Answer>} Row answers by the last part of their names
 */

export class Rows {
  /**
   * @param {string} name of the list
   * @param {Published.Form} known
   * @param {{add: (control: Control | Given) => void, drop: (name: string) => void, changed: () => void}} form
   */
  constructor(name, known, form) {
    this.name = name;
    this.known = known;
    this.form = form;
    this.list = name === EXERCISE_LIST.name ? EXERCISE_LIST : STRETCH_LIST;
    this.label = this.list.label;
    /** null before one is followed. @type {string | null} */
    this.protocol = null;
    /** @type {(Control | Given)[][]} */
    this.rows = [];
    this.most = fieldAt(known.schemas.test, name.split(".").slice(1)).maxItems ?? Infinity;
    this.body = html("div", { class: "sb-rows__body" });
    this.problem = html("p", { class: "sb-field__problem", id: `field-${name}-problem`, hidden: "" });
    const button = { type: "button", id: `field-${name}`, "aria-describedby": this.problem.id };
    this.more = html("button", button, this.list.add);
    this.more.addEventListener("click", () => this.extend());
    const kind = `sb-rows sb-rows--${name.split(".").at(-1)}`;
    this.element = html(
      "fieldset",
      { class: kind },
      html("legend", {}, this.label),
      this.body,
      this.problem,
      html("p", {}, this.more),
    );
  }

  /** Where the cursor goes when the list is asked for: to what can be added, or to the first figure. */
  get first() {
    return this.more.hidden ? this.rows[0]?.find((control) => control instanceof Control)?.first : this.more;
  }

  /** Whether the protocol itself says which exercises there are. */
  get isFixed() {
    return this.list === EXERCISE_LIST && Object.hasOwn(this.known.protocols, this.protocol ?? "");
  }

  /** Begins anew for another protocol, unless that would throw away what was counted. */
  follow(/** @type {string} */ protocol) {
    if (this.protocol === protocol) return;
    const before = this.read();
    this.protocol = protocol;
    const plan = this.plan();
    if (this.list === EXERCISE_LIST) this.build(plan.map((row, place) => ({ ...before[place], ...row })));
    else if (!before.some((row) => MEASURED.some((key) => row[key]))) this.build(plan);
  }

  /** @returns {Row[]} */
  plan() {
    const timing = this.known.protocols[this.protocol ?? ""];
    if (!timing) return [{}];
    if (this.list === EXERCISE_LIST) return timing.steps.map(({ exercise }) => ({ name: exercise }));
    const air = (/** @type {number} */ seconds) => ({ phase: "ambient", seconds: String(seconds) });
    const between = timing.ambient_between ? [air(timing.ambient_start)] : [];
    const steps = timing.steps.flatMap(({ exercise, seconds }, place) => [
      ...(place ? between : []),
      { phase: "mask", exercise, seconds: String(seconds) },
    ]);
    return [air(timing.ambient_start), ...steps, air(timing.ambient_end)];
  }

  /** Takes rows from kept answers. */
  restore(/** @type {Answers} */ answers) {
    this.protocol = textOf(answers, "test.result.protocol");
    const kept = rowsOf(this.name, answers)
      .slice(0, this.most)
      .map((row) =>
        Object.fromEntries(this.list.keys.map(({ key }) => [key, answers[`${this.name}.${row}.${key}`] ?? ""])),
      );
    if (this.isFixed || !kept.length) this.build(this.plan().map((row, place) => ({ ...kept[place], ...row })));
    else this.build(kept);
  }

  /** @returns {Row[]} */
  read() {
    return this.rows.map((row) =>
      Object.fromEntries(row.map((control) => [control.name.slice(control.name.lastIndexOf(".") + 1), control.value])),
    );
  }

  extend() {
    this.build([...this.read(), {}]);
    this.form.changed();
    this.rows.at(-1)?.find((control) => control instanceof Control)?.first.focus();
  }

  remove(/** @type {number} */ place) {
    this.build(this.read().filter((_, other) => other !== place));
    this.form.changed();
    this.more.focus();
  }

  build(/** @type {Row[]} */ rows) {
    for (const control of this.rows.flat()) this.form.drop(control.name);
    this.rows = rows.map((row, place) => this.row(row, place));
    for (const control of this.rows.flat()) this.form.add(control);
    this.body.replaceChildren(...this.rows.map((row, place) => this.line(row, place)));
    this.more.hidden = this.isFixed || rows.length >= this.most;
  }

  row(/** @type {Row} */ values, /** @type {number} */ place) {
    return this.list.keys.map(({ key, label }) => {
      const name = `${this.name}.${place}.${key}`;
      const field = fieldOf(name, this.known);
      if (key === "name" && this.isFixed) return new Given(name, String(values.name));
      const named = key === "fit_factor" && this.isFixed ? this.title(String(values.name)) : label;
      const options = field && optionsFor(name, field, {}, this.known);
      const control = new Control({ name, label: named, hint: "" }, field, options);
      control.value = values[key] ?? "";
      return control;
    });
  }

  line(/** @type {(Control | Given)[]} */ row, /** @type {number} */ place) {
    const shown = row.flatMap((control) => (control instanceof Control ? [control.element] : []));
    const attributes = { class: "sb-row", role: "group", "aria-label": say("form.row", { row: place + 1 }) };
    if (this.isFixed) return html("div", attributes, ...shown);
    const hidden = html("span", { class: "sb-hidden" }, say("form.row_removed", { row: place + 1 }));
    const remove = html("button", { type: "button" }, say("compare.remove"), hidden);
    remove.addEventListener("click", () => this.remove(place));
    return html("div", attributes, ...shown, remove);
  }

  title(/** @type {string} */ exercise) {
    const words = fieldAt(this.known.schemas.test, ["result", "exercise", 0, "name"]).oneOf ?? [];
    return words.find((word) => word.const === exercise)?.title ?? exercise;
  }

  judge(/** @type {string} */ problem) {
    if (this.problem.textContent !== problem) show(this.problem, problem);
  }
}

/** An answer that the protocol gives. */
export class Given {
  constructor(/** @type {string} */ name, /** @type {string} */ value) {
    this.name = name;
    this.value = value;
  }
}
