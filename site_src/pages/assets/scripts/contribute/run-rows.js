// The exercises or the counted stretches of a run: a list of tables that begins as the protocol has it.
import { html, say } from "../common/elements.js";
import { Control } from "./control.js";
import { fieldOf } from "./entries.js";
import { rowsOf } from "./names.js";
import { optionsFor } from "./options.js";
import { fieldAt } from "./schema.js";

const EXERCISES = "test.result.exercise";
const KEYS = {
  [EXERCISES]: [
    ["name", "Exercise"],
    ["fit_factor", "Fit factor"],
    ["at_least", "At least"],
  ],
  "test.result.counts": [
    ["phase", "Phase"],
    ["exercise", "Exercise"],
    ["seconds", "Seconds"],
    ["particles", "Particles"],
    ["concentration", "Per cm³"],
  ],
};
const MEASURED = ["fit_factor", "particles", "concentration"];

/** @typedef {Record<string, string | boolean>} Row answers by the last part of their names */

export class Rows {
  /**
   * @param {string} list name of the list
   * @param {any} known
   * @param {{add: (control: any) => void, drop: (name: string) => void, changed: () => void}} form
   */
  constructor(list, known, form) {
    this.list = list;
    this.known = known;
    this.form = form;
    this.name = list;
    this.label = list === EXERCISES ? "Exercises" : "Stretches in order of time";
    this.protocol = null;
    this.rows = [];
    this.most = fieldAt(known.schemas.test, list.split(".").slice(1)).maxItems;
    this.body = html("div", { class: "sb-rows__body" });
    this.problem = html("p", { class: "sb-field__problem", id: `field-${list}-problem`, hidden: "" });
    const add = list === EXERCISES ? "Add an exercise" : "Add a stretch";
    this.more = html("button", { type: "button", id: `field-${list}`, "aria-describedby": this.problem.id }, add);
    this.more.addEventListener("click", () => this.extend());
    const kind = `sb-rows sb-rows--${list.split(".").at(-1)}`;
    this.element = html(
      "fieldset",
      { class: kind },
      html("legend", {}, this.label),
      this.body,
      this.problem,
      html("p", {}, this.more),
    );
  }

  get first() {
    return this.more.hidden ? this.rows[0]?.at(1).first : this.more;
  }

  /** Whether the protocol itself says which exercises there are. */
  get isFixed() {
    return this.list === EXERCISES && Object.hasOwn(this.known.protocols, this.protocol ?? "");
  }

  /** Begins anew for another protocol, unless that would throw away what was counted. */
  follow(/** @type {string} */ protocol) {
    if (this.protocol === protocol) return;
    const before = this.read();
    this.protocol = protocol;
    const plan = this.plan();
    if (this.list === EXERCISES) this.build(plan.map((row, place) => ({ ...before[place], ...row })));
    else if (!before.some((row) => MEASURED.some((key) => row[key]))) this.build(plan);
  }

  /** @returns {Row[]} */
  plan() {
    const timing = this.known.protocols[this.protocol];
    if (!timing) return [{}];
    if (this.list === EXERCISES) return timing.steps.map(({ exercise }) => ({ name: exercise }));
    const air = (/** @type {number} */ seconds) => ({ phase: "ambient", seconds: String(seconds) });
    const between = timing.ambient_between ? [air(timing.ambient_start)] : [];
    const steps = timing.steps.flatMap(({ exercise, seconds }, place) => [
      ...(place ? between : []),
      { phase: "mask", exercise, seconds: String(seconds) },
    ]);
    return [air(timing.ambient_start), ...steps, air(timing.ambient_end)];
  }

  /** Takes rows from kept answers. */
  restore(/** @type {import("./names.js").Answers} */ answers) {
    this.protocol = answers["test.result.protocol"] ?? "";
    const keys = KEYS[this.list].map(([key]) => key);
    const kept = rowsOf(this.list, answers)
      .slice(0, this.most)
      .map((row) => Object.fromEntries(keys.map((key) => [key, answers[`${this.list}.${row}.${key}`] ?? ""])));
    if (this.isFixed || !kept.length) this.build(this.plan().map((row, place) => ({ ...kept[place], ...row })));
    else this.build(kept);
  }

  /** @returns {Row[]} */
  read() {
    return this.rows.map((row) =>
      Object.fromEntries(row.map((control) => [control.name.split(".").at(-1), control.value])),
    );
  }

  extend() {
    this.build([...this.read(), {}]);
    this.form.changed();
    this.rows.at(-1)[0].first.focus();
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
    return KEYS[this.list].map(([key, label]) => {
      const name = `${this.list}.${place}.${key}`;
      const field = fieldOf(name, this.known);
      if (key === "name" && this.isFixed) return new Given(name, String(values.name));
      const named = key === "fit_factor" && this.isFixed ? this.title(String(values.name)) : label;
      const control = new Control({ name, label: named, hint: "" }, field, optionsFor(name, field, {}, this.known));
      control.value = values[key] ?? "";
      return control;
    });
  }

  line(row, /** @type {number} */ place) {
    const shown = row.flatMap((control) => control.element ?? []);
    const attributes = { class: "sb-row", role: "group", "aria-label": `Row ${place + 1}` };
    if (this.isFixed) return html("div", attributes, ...shown);
    const remove = html(
      "button",
      { type: "button" },
      "Remove",
      html("span", { class: "sb-hidden" }, ` row ${place + 1}`),
    );
    remove.addEventListener("click", () => this.remove(place));
    return html("div", attributes, ...shown, remove);
  }

  title(/** @type {string} */ exercise) {
    return fieldAt(this.known.schemas.test, ["result", "exercise", 0, "name"]).oneOf.find(
      (word) => word.const === exercise,
    ).title;
  }

  judge(/** @type {string} */ problem) {
    if (this.problem.textContent !== problem) say(this.problem, problem);
  }
}

/** An answer that the protocol gives. */
class Given {
  constructor(/** @type {string} */ name, /** @type {string} */ value) {
    this.name = name;
    this.value = value;
  }

  judge() {}
}
