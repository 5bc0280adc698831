// One take: what was measured, where it leaked, how it felt; or why it does not count.
import { html, nameOf } from "../common/elements.js";
import { say } from "../common/say.js";
import { Form } from "../contribute/form.js";
import { conditionItems, observationItems, resultItems, setAsideItem, specimenItems } from "../contribute/layout.js";
import { Mistakes } from "../contribute/mistakes.js";
import { Given, Rows } from "../contribute/run-rows.js";

/**
 * @typedef {import("../contribute/names.js").Answers} Answers
 * @typedef {import("../contribute/entries.js").Outcome} Outcome
 */

/** By which the button that keeps the take is in its form. */
export const TAKE_FORM = "bench-take";
/** Marks of one to five, which a button each gives. */
const MARKS = new Set(["test.observations.comfort", "test.observations.breathing_effort"]);
const SHOWN = new Set(["test.observations.leaks", ...MARKS]);

/** @returns {import("../contribute/layout.js").Group[]} */
function layout() {
  /** @type {[string, string][]} */
  const marks = [["", say("bench_page.no_mark")], ...[1, 2, 3, 4, 5].map((n) => /** @type {[string, string]} */ ([String(n), String(n)]))];
  const noticed = observationItems().map((item) => (MARKS.has(item.name) ? { ...item, choices: marks } : item));
  const first = (/** @type {{name: string}} */ { name }) => SHOWN.has(name);
  const [seal] = conditionItems().filter(({ name }) => name === "test.conditions.seal_check");
  const glasses = conditionItems().filter(({ name }) => name === "test.conditions.glasses");
  return [
    { title: say("bench_page.measured"), items: resultItems() },
    {
      title: say("form.what_the_wearer_noticed"),
      items: [
        ...noticed.filter(first),
        ...(seal ? [seal] : []),
        { title: say("bench_page.more_noticed"), folded: true, items: [...noticed.filter((item) => !first(item)), ...glasses] },
      ],
    },
    { title: say("form.the_very_mask_worn"), folded: true, items: specimenItems() },
    setAsideItem(),
  ];
}

/** Folds the stretches of a run, of which there are many; those of a log need no look. */
function folded(/** @type {Form} */ form) {
  const rows = form.controls.get("test.result.counts");
  if (!(rows instanceof Rows)) throw new Error("The form has no stretches.");
  const details = html("details", { class: "sb-more sb-field--wide" }, html("summary", {}, rows.label));
  rows.element.replaceWith(details);
  details.append(rows.element);
  return { details, rows };
}

export class TakeForm {
  /**
   * @param {Answers} answers
   * @param {Published.Form} known
   * @param {string} protocol
   * @param {{judged: (answers: Answers) => Outcome, changed: (answers: Answers) => void, done: () => void}} use
   */
  constructor(answers, known, protocol, use) {
    this.use = use;
    /** @type {Set<string>} */
    this.touched = new Set();
    this.all = false;
    this.fields = html("form", { id: TAKE_FORM, class: "sb-contribute__form sb-bench__take", autocomplete: "off", novalidate: "", "aria-label": say("bench_page.take") });
    this.form = new Form(this.fields, known, () => this.update(), layout());
    this.form.add(new Given("test.result.protocol", protocol));
    this.mistakes = new Mistakes(this.form);
    this.counts = folded(this.form);
    this.element = html("div", {}, this.mistakes.element, this.fields);
    this.fields.addEventListener("submit", (event) => {
      event.preventDefault();
      use.done();
    });
    this.fields.addEventListener("input", () => this.changed());
    for (const kind of ["change", "focusout"]) {
      this.fields.addEventListener(kind, (event) => {
        if (nameOf(event)) this.touched.add(nameOf(event));
        this.update();
      });
    }
    this.form.fill({ ...answers, "test.result.protocol": protocol });
    this.update();
  }

  /** What is told of this take alone. @returns {Answers} */
  answers() {
    const own = Object.entries(this.form.answers()).filter(([name]) => name !== "test.result.protocol");
    return Object.fromEntries(own);
  }

  changed() {
    this.update();
    this.use.changed(this.answers());
  }

  update() {
    this.form.arrange();
    this.counts.details.hidden = this.counts.rows.element.hidden;
    const answers = this.answers();
    const outcome = this.use.judged(answers);
    this.form.judge(outcome, (name) => this.all || [...this.touched].some((one) => one === name || one.startsWith(`${name}.`)));
    this.mistakes.show(this.all ? outcome.problems : new Map());
    return outcome;
  }

  /** Whether the take can be kept; if not, says what is in the way. */
  isReady() {
    this.all = true;
    const ready = this.update().problems.size === 0;
    if (!ready) this.mistakes.element.focus();
    return ready;
  }

  /** Puts answers in, as if they had been typed. */
  put(/** @type {Answers} */ answers) {
    this.form.fill({ ...this.form.answers(), ...answers });
    this.changed();
  }
}
