// Setting up an evening: mask, what to try, wearer, how it is measured; and how long the run will be.
import { find, html, nameOf } from "../common/elements.js";
import { count, say } from "../common/say.js";
import { Form } from "../contribute/form.js";
import { KnownFaces } from "../contribute/known-faces.js";
import { Mistakes } from "../contribute/mistakes.js";
import { entriesFrom } from "../contribute/entries.js";
import { FEWEST_TO_HALVE, halved } from "../statistics/run-order.js";
import { LEVELS } from "../words/levels.js";
import { button, mainButton } from "./buttons.js";
import { answersOf, factorsOf, linesOf, plannedDonnings } from "./evening.js";
import { runLength } from "./run-length.js";
import { PartChoice } from "./part-choice.js";
import { setUpLayout } from "./set-up-layout.js";

const MOST_DONNINGS = 10;

/**
 * @typedef {import("./evening.js").SetUp} SetUp
 * @typedef {import("./known.js").Known} Known
 */

export class SetUpForm {
  /**
   * @param {SetUp} setUp
   * @param {Known} known
   * @param {{begun: boolean, changed: (setUp: SetUp) => void, done: (setUp: SetUp) => void, cancelled: () => void}} use
   *   `begun` where there are takes: their mask stays
   */
  constructor(setUp, known, use) {
    this.setUp = setUp;
    this.known = known;
    this.use = use;
    /** @type {Set<string>} */
    this.touched = new Set();
    this.all = false;
    const form = html("form", { class: "sb-contribute__form", autocomplete: "off", novalidate: "", "aria-label": say("bench_page.set_up") });
    this.form = new Form(form, known.form, () => this.update(), setUpLayout(known.form));
    this.faces = new KnownFaces(this.form, known.form);
    this.mistakes = new Mistakes(this.form);
    this.choice = new PartChoice(known.form, known.labels, { setUp: () => this.setUp, change: (changed) => this.change(changed) });
    form.firstElementChild?.after(this.choice.element);
    this.length = html("p", { class: "sb-bench__length", role: "status" });
    const buttons = html(
      "p",
      { class: "sb-bench__buttons" },
      mainButton(say(use.begun ? "bench_page.back_to_run" : "bench_page.begin"), () => this.finish()),
      button(say("bench_page.cancel"), use.cancelled),
    );
    form.append(this.run(), buttons);
    this.element = html(
      "section",
      { class: "sb-bench__setup" },
      html("h2", { tabindex: -1 }, say("bench_page.set_up")),
      this.mistakes.element,
      form,
    );
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", () => this.update());
    form.addEventListener("change", (event) => {
      this.faces.settle(nameOf(event));
      this.touch(nameOf(event));
    });
    form.addEventListener("focusout", (event) => this.touch(nameOf(event)));
    this.form.fill(setUp.answers);
    this.faces.begin();
    if (use.begun) find(form, "[name='test.mask']", HTMLSelectElement).disabled = true;
    this.update();
  }

  /** How often, whether half, in which order. */
  run() {
    const often = html("select", { id: "bench-donnings", name: "bench.donnings" });
    often.append(...Array.from({ length: MOST_DONNINGS }, (_, n) => html("option", { value: n + 1 }, String(n + 1))));
    often.value = String(this.setUp.donnings);
    this.half = html("input", { type: "checkbox", id: "bench-half", name: "bench.half" });
    this.half.checked = this.setUp.half;
    this.halfField = html(
      "div",
      { class: "sb-field" },
      html("span", { class: "sb-field__tick" }, this.half, html("label", { for: "bench-half" }, say("bench_page.half"))),
      html("p", { class: "sb-field__hint" }, say("bench_page.half_hint")),
    );
    often.addEventListener("change", () => this.change({ donnings: Number(often.value) }));
    this.half.addEventListener("change", () => this.change({ half: this.half?.checked ?? false }));
    return html(
      "fieldset",
      { class: "sb-group" },
      html("legend", {}, say("bench_page.run")),
      html(
        "div",
        { class: "sb-fields" },
        html(
          "div",
          { class: "sb-field" },
          html("label", { for: "bench-donnings" }, say("bench_page.donnings_each")),
          often,
          html("p", { class: "sb-field__hint" }, say("bench_page.donnings_hint")),
        ),
        this.halfField,
      ),
      this.length,
      html("p", {}, button(say("bench_page.another_order"), () => this.change({ seed: this.setUp.seed + 1 }))),
    );
  }

  touch(/** @type {string} */ name) {
    if (!name) return;
    this.touched.add(name);
    this.update();
  }

  change(/** @type {Partial<SetUp>} */ changed) {
    this.setUp = { ...this.setUp, ...changed };
    this.update();
  }

  update() {
    this.form.arrange();
    this.setUp = { ...this.setUp, answers: { ...this.setUp.answers, ...this.form.answers() } };
    this.choice.draw();
    const factors = factorsOf(this.setUp, this.known.bench.lasting);
    const canHalve = halved(factors).length >= FEWEST_TO_HALVE;
    if (this.halfField) this.halfField.hidden = !canHalve;
    if (!canHalve && this.setUp.half) this.setUp = { ...this.setUp, half: false };
    const problems = this.problems();
    this.form.judge({ problems, warnings: this.warnings, overall: null }, (name) => this.all || this.touched.has(name));
    this.mistakes.show(this.all ? problems : new Map());
    this.length.textContent = this.lengthWords(plannedDonnings(factors, this.setUp));
    this.use.changed(this.setUp);
    return problems;
  }

  lengthWords(/** @type {number} */ planned) {
    if (planned > LEVELS.longest_run) return say("bench_page.too_long", { donnings: planned, most: LEVELS.longest_run });
    const lines = linesOf({ setUp: this.setUp, takes: [] }, this.known.bench.lasting);
    if (lines.length > LEVELS.longest_run) return say("bench_page.too_long", { donnings: lines.length, most: LEVELS.longest_run });
    const time = runLength(lines, this.known.form.protocols[String(this.setUp.answers["test.result.protocol"])]);
    const donnings = count("donning", lines.length);
    const specimens = Math.max(1, ...lines.map(({ specimen }) => specimen));
    const said = say("bench_page.length", { donnings, time });
    return specimens > 1 ? `${said} ${say("sheet.specimens", { specimens })}` : said;
  }

  /** What is wrong with what the takes will share; what a take itself tells is not due. */
  problems() {
    const asSold = { id: null, worn: {}, specimen: 1, answers: { "result.kind": "overall", "test.result.fit_factor": "100" } };
    const { problems, warnings } = entriesFrom(answersOf(this.setUp, asSold, 0), this.known.form, this.known.today());
    this.warnings = warnings;
    return problems;
  }

  /** @type {Map<string, string>} */
  warnings = new Map();

  finish() {
    this.all = true;
    const tooLong = plannedDonnings(factorsOf(this.setUp, this.known.bench.lasting), this.setUp) > LEVELS.longest_run;
    if (this.update().size) this.mistakes.element.focus();
    else if (!tooLong) this.use.done(this.setUp);
  }
}
