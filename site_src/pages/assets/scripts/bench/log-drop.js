// A counter's log as a take: read in the page, and shown for a person to confirm where it had to be cut by a schedule.
import { html } from "../common/elements.js";
import { fit } from "../common/figures.js";
import { count, say } from "../common/say.js";
import { readLog } from "../logs/read-log.js";
import { button, mainButton } from "./buttons.js";
import { cutChart } from "./cut-chart.js";

/**
 * @typedef {import("../contribute/names.js").Answers} Answers
 * @typedef {import("../logs/read-log.js").ReadLog} ReadLog
 */

const MOST_PROBLEMS = 8;

export class LogDrop {
  /**
   * @param {{protocol: string, instrument: string, exercise: (id: string) => string, take: (answers: Answers) => void}} use
   *   `exercise` names one, `take` puts what was read into the take
   */
  constructor(use) {
    this.use = use;
    /** @type {Uint8Array} */
    this.bytes = new Uint8Array();
    this.input = html("input", { type: "file", id: "bench-log", accept: ".csv,.txt,.tsv,.log,text/*" });
    this.said = html("div", { class: "sb-bench__log-said", role: "status" });
    this.schedule = html("input", { type: "text", id: "bench-schedule", autocapitalize: "none", spellcheck: "false" });
    this.asked = html(
      "div",
      { class: "sb-field", hidden: "" },
      html("label", { for: "bench-schedule" }, say("bench_page.schedule")),
      this.schedule,
      html("p", { class: "sb-field__hint" }, say("bench_page.schedule_hint")),
      html("p", {}, button(say("bench_page.cut"), () => this.read(this.schedule.value.trim()))),
    );
    this.element = html(
      "div",
      { class: "sb-bench__log" },
      html("label", { for: "bench-log" }, say("bench_page.log")),
      this.input,
      this.said,
      this.asked,
    );
    this.input.addEventListener("change", () => this.open(this.input.files?.[0]));
    this.element.addEventListener("dragover", (event) => event.preventDefault());
    this.element.addEventListener("drop", (event) => {
      event.preventDefault();
      this.open(event.dataTransfer?.files[0]);
    });
  }

  /** Reads a file; a log of time and counts alone is cut by the evening's protocol, for a person to look at. */
  async open(/** @type {File | undefined} */ file) {
    if (!file) return;
    this.bytes = new Uint8Array(await file.arrayBuffer());
    const found = readLog(this.bytes, { instrument: this.use.instrument });
    this.asked.hidden = true;
    if (!found.problems.length) {
      this.take(found);
      return;
    }
    const cut = readLog(this.bytes, { instrument: this.use.instrument, schedule: this.use.protocol });
    this.schedule.value = this.use.protocol;
    if (cut.problems.length) this.refuse(found);
    else this.confirm(cut);
  }

  read(/** @type {string} */ schedule) {
    const found = readLog(this.bytes, { instrument: this.use.instrument, schedule });
    if (found.problems.length) this.refuse(found);
    else this.confirm(found);
  }

  /** Says why a log gives no fit factor, and asks for a schedule, which may be all that it lacks. */
  refuse(/** @type {ReadLog} */ { problems }) {
    const items = problems.slice(0, MOST_PROBLEMS).map(({ row, problem, remedy }) => {
      const place = row ? `${say("bench_page.log_row", { row })} ` : "";
      return html("li", {}, `${place}${problem} ${remedy}`.trim());
    });
    this.said.replaceChildren(html("p", {}, html("strong", {}, say("bench_page.log_refused"))), html("ul", {}, ...items));
    this.asked.hidden = false;
  }

  /** Shows where a schedule lies on the log. */
  confirm(/** @type {ReadLog} */ found) {
    this.asked.hidden = false;
    this.said.replaceChildren(
      html("p", {}, html("strong", {}, say("bench_page.look_at_cut"))),
      cutChart(found, { width: Math.max(280, Math.min(this.element.clientWidth, 640)), exercise: this.use.exercise }),
      ...this.about(found),
      html("p", {}, mainButton(say("bench_page.cut_is_right"), () => this.take(found))),
    );
  }

  /** The figure and what makes it doubtful. */
  about(/** @type {ReadLog} */ { overall, atLeast, doubts }) {
    return [
      html("p", {}, say("bench_page.log_figure", { figure: fit(overall?.fitFactor ?? null, atLeast) })),
      ...(doubts.length ? [html("ul", { class: "sb-bench__beware" }, ...doubts.map(({ text }) => html("li", {}, text)))] : []),
    ];
  }

  take(/** @type {ReadLog} */ found) {
    this.asked.hidden = true;
    const stretches = count("stretch", found.phases.length);
    this.said.replaceChildren(html("p", {}, say("bench_page.log_taken", { stretches })), ...this.about(found));
    this.use.take(answersFrom(found));
  }
}

/** What was read, as the form has it. @returns {Answers} */
function answersFrom(/** @type {ReadLog} */ { phases, overall, atLeast, result }) {
  if (!("counts" in result)) {
    const figure = String(overall?.fitFactor ?? "");
    return { "result.kind": "overall", "test.result.fit_factor": figure, "test.result.at_least": atLeast };
  }
  const measure = phases.some(({ particles }) => particles !== undefined) ? "particles" : "concentration";
  /** @type {Answers} */
  const answers = { "result.kind": "counts", "counts.measure": measure };
  for (const [place, phase] of phases.entries()) {
    for (const key of /** @type {const} */ (["phase", "exercise", "seconds", "particles", "concentration"])) {
      answers[`test.result.counts.${place}.${key}`] = String(phase[key] ?? "");
    }
  }
  return answers;
}
