// The form on the page: builds what the layout lists, reads and fills it, shows what is asked and what is wrong.
import { html, show } from "../common/elements.js";
import { fit } from "../common/figures.js";
import { say, within } from "../common/say.js";
import { Control } from "./control.js";
import { fieldOf } from "./entries.js";
import { BLANK, layoutOf } from "./layout.js";
import { inPlay, textOf } from "./names.js";
import { optionsFor } from "./options.js";
import { Rows } from "./run-rows.js";

/**
 * @typedef {import("./names.js").Answers} Answers
 * @typedef {import("./layout.js").Item} Item
 * @typedef {import("./layout.js").Group} Group
 * @typedef {Control | Rows} Shown what stands on the page
 * @typedef {{element: HTMLElement, name: string, answered: HTMLElement, questions: string[]}} ShownGroup
 *   `questions` are those directly in it, `answered` is where a closed group says which have an answer
 */

export class Form {
  /**
   * @param {HTMLFormElement} element
   * @param {Published.Form} known
   * @param {() => void} changed called after rows were added or removed
   * @param {Group[]} [layout] what is asked, where it is not all
   */
  constructor(element, known, changed, layout = layoutOf(known)) {
    this.element = element;
    this.known = known;
    this.changed = changed;
    /** @type {Map<string, Shown | import("./run-rows.js").Given>} */
    this.controls = new Map();
    /** @type {ShownGroup[]} */
    this.groups = [];
    /** @type {Rows[]} */
    this.rows = [];
    this.overall = html("p", { class: "sb-contribute__overall", hidden: "" });
    element.append(...layout.map((group) => this.group(group)));
    const wearer = this.controls.get("test.face.wearer");
    if (!(wearer instanceof Control)) return;
    element.append(this.wearers());
    wearer.first.setAttribute("list", "sb-wearers");
  }

  group(/** @type {Group} */ { title, items, folded = false, name = "" }) {
    const inside = items.map((item) => this.item(item));
    const answered = html("span", { class: "sb-muted" });
    const fields = html("div", { class: "sb-fields" }, ...inside);
    const element = folded
      ? html("details", { class: "sb-more" }, html("summary", {}, title, answered), fields)
      : html("fieldset", { class: name ? "sb-part" : "sb-group" }, html("legend", {}, title), fields);
    const questions = items.flatMap((item) => ("label" in item ? [item.name] : []));
    this.groups.push({ element, name, answered, questions });
    return element;
  }

  /** @returns {HTMLElement} */
  item(/** @type {Item} */ item) {
    if ("items" in item) return this.group(item);
    if ("overall" in item) return this.overall;
    if ("rows" in item) {
      const rows = new Rows(item.rows, this.known, this);
      this.rows.push(rows);
      this.controls.set(rows.name, rows);
      return rows.element;
    }
    const field = fieldOf(item.name, this.known);
    const control = new Control(item, field, field && optionsFor(item.name, field, {}, this.known));
    this.add(control);
    return control.element;
  }

  wearers() {
    return html(
      "datalist",
      { id: "sb-wearers" },
      ...Object.keys(this.known.wearers).map((value) => html("option", { value })),
    );
  }

  add(/** @type {Control | import("./run-rows.js").Given} */ control) {
    this.controls.set(control.name, control);
  }

  drop(/** @type {string} */ name) {
    this.controls.delete(name);
  }

  /** The question of a name that the layout lists. */
  control(/** @type {string} */ name) {
    const control = this.controls.get(name);
    if (!(control instanceof Control)) throw new Error(`The form does not ask ${name}.`);
    return control;
  }

  /** @returns {Answers} */
  answers() {
    const answered = [...this.controls.values()].flatMap((control) => (control instanceof Rows ? [] : [control]));
    return Object.fromEntries(answered.map((control) => [control.name, control.value]));
  }

  /** Fills the whole form; what is not among the answers is empty. */
  fill(/** @type {Answers} */ answers) {
    const all = { ...BLANK, ...answers };
    for (const rows of this.rows) rows.restore(all);
    // Lists of parts depend on what was chosen before them, so a list is filled when it offers its choices.
    for (const [name, control] of this.controls) {
      if (control instanceof Control) {
        this.offer(control, all);
        control.value = all[name] ?? "";
      }
    }
    for (const { element, questions } of this.groups) {
      if (element instanceof HTMLDetailsElement) element.open = questions.some((name) => this.control(name).isAnswered);
    }
  }

  /** Shows what is asked, given the answers so far; may change answers that no longer make sense. */
  arrange() {
    const protocol = textOf(this.answers(), "test.result.protocol");
    for (const rows of this.rows) rows.follow(protocol);
    const answers = this.answers();
    for (const [name, control] of this.controls) {
      if (!(control instanceof Control)) continue;
      this.offer(control, answers);
      answers[name] = control.value;
    }
    for (const control of this.shown()) control.element.hidden = !inPlay(control.name, answers);
    for (const { element, name, answered, questions } of this.groups) {
      if (name) element.hidden = !inPlay(`${name}.`, answers);
      const labels = questions.map((question) => this.control(question)).filter((control) => control.isAnswered);
      answered.textContent = labels.length ? ` ${labels.map((control) => within(control.label)).join(", ")}` : "";
    }
  }

  offer(/** @type {Control} */ control, /** @type {Answers} */ answers) {
    const field = /^(mask\.as_sold|test\.configuration)\./.test(control.name) ? fieldOf(control.name, this.known) : null;
    const options = field && optionsFor(control.name, field, answers, this.known);
    if (options) control.offer(options);
    else control.explain();
  }

  /**
   * Says what is wrong beside each question.
   * @param {Pick<import("./entries.js").Outcome, "problems" | "warnings" | "overall">} outcome
   * @param {(name: string) => boolean} isDue whether a question's problem is to be shown yet
   */
  judge({ problems, warnings, overall }, isDue) {
    for (const control of this.shown()) {
      const { name } = control;
      control.judge(isDue(name) ? (problems.get(name) ?? "") : "", warnings.get(name) ?? "");
    }
    const computed = overall && !inPlay("test.result.fit_factor", this.answers());
    show(this.overall, computed ? say("form.overall", { figure: fit(overall.fitFactor, overall.atLeast) }) : "");
  }

  /** What stands on the page: all but what a protocol gives. @returns {Shown[]} */
  shown() {
    return [...this.controls.values()].flatMap((control) =>
      control instanceof Control || control instanceof Rows ? [control] : [],
    );
  }

  /** The questions as they stand on the page. */
  inOrder() {
    const before = (/** @type {Shown} */ a, /** @type {Shown} */ b) =>
      a.element.compareDocumentPosition(b.element) & Node.DOCUMENT_POSITION_PRECEDING ? 1 : -1;
    return this.shown().sort(before);
  }

  /** Brings a question into view and puts the cursor there. */
  focus(/** @type {string} */ name) {
    const control = this.shown().find((other) => other.name === name);
    for (let fold = control?.element.closest("details"); fold; fold = fold.parentElement?.closest("details"))
      fold.open = true;
    control?.first?.focus();
  }
}
