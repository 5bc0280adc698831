// The form on the page: builds what the layout lists, reads and fills it, shows what is asked and what is wrong.
import { html, say } from "../common/elements.js";
import { fit } from "../common/figures.js";
import { Control } from "./control.js";
import { fieldOf } from "./entries.js";
import { BLANK, layoutOf } from "./layout.js";
import { inPlay } from "./names.js";
import { optionsFor } from "./options.js";
import { Rows } from "./run-rows.js";

/** @typedef {import("./names.js").Answers} Answers */

export class Form {
  /**
   * @param {HTMLFormElement} element
   * @param {any} known
   * @param {() => void} changed called after rows were added or removed
   */
  constructor(element, known, changed) {
    this.element = element;
    this.known = known;
    this.changed = changed;
    /** @type {Map<string, any>} */
    this.controls = new Map();
    this.groups = [];
    this.rows = [];
    this.overall = html("p", { class: "sb-contribute__overall", hidden: "" });
    element.append(...layoutOf(known).map((group) => this.group(group)), this.wearers());
    this.controls.get("test.face.wearer").first.setAttribute("list", "sb-wearers");
  }

  group({ title, items, folded = false, name = "" }) {
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

  item(item) {
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

  add(control) {
    this.controls.set(control.name, control);
  }

  drop(/** @type {string} */ name) {
    this.controls.delete(name);
  }

  /** @returns {Answers} */
  answers() {
    const answered = [...this.controls.values()].filter((control) => !(control instanceof Rows));
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
      if (element.tagName === "DETAILS") element.open = questions.some((name) => this.controls.get(name).isAnswered);
    }
  }

  /** Shows what is asked, given the answers so far; may change answers that no longer make sense. */
  arrange() {
    const protocol = this.controls.get("test.result.protocol").value;
    for (const rows of this.rows) rows.follow(protocol);
    const answers = this.answers();
    for (const [name, control] of this.controls) {
      if (!(control instanceof Control)) continue;
      this.offer(control, answers);
      answers[name] = control.value;
    }
    for (const [name, control] of this.controls) if (control.element) control.element.hidden = !inPlay(name, answers);
    for (const { element, name, answered, questions } of this.groups) {
      if (name) element.hidden = !inPlay(`${name}.`, answers);
      const labels = questions.map((question) => this.controls.get(question)).filter((control) => control.isAnswered);
      answered.textContent = labels.length ? ` ${labels.map((control) => control.label.toLowerCase()).join(", ")}` : "";
    }
  }

  offer(/** @type {Control} */ control, /** @type {Answers} */ answers) {
    if (/^(mask\.as_sold|test\.configuration)\./.test(control.name)) {
      control.offer(optionsFor(control.name, fieldOf(control.name, this.known), answers, this.known));
    } else {
      control.explain();
    }
  }

  /**
   * Says what is wrong beside each question.
   * @param {import("./entries.js").Outcome} outcome
   * @param {(name: string) => boolean} isDue whether a question's problem is to be shown yet
   */
  judge({ problems, warnings, overall }, isDue) {
    for (const [name, control] of this.controls) {
      control.judge(isDue(name) ? (problems.get(name) ?? "") : "", warnings.get(name) ?? "");
    }
    const computed = overall && !inPlay("test.result.fit_factor", this.answers());
    const value = computed ? fit(overall.fitFactor, overall.atLeast) : "";
    say(this.overall, value && `Overall fit factor: ${value}, the harmonic mean without the grimace.`);
  }

  /** The questions as they stand on the page. */
  inOrder() {
    const before = (a, b) => (a.element.compareDocumentPosition(b.element) & Node.DOCUMENT_POSITION_PRECEDING ? 1 : -1);
    return [...this.controls.values()].filter((control) => control.element).sort(before);
  }

  /** Brings a question into view and puts the cursor there. */
  focus(/** @type {string} */ name) {
    const control = this.controls.get(name);
    for (let fold = control.element.closest("details"); fold; fold = fold.parentElement.closest("details"))
      fold.open = true;
    control.first.focus();
  }
}
