// The run in its order and the takes in theirs; on paper, the run sheet to fill in.
import { html } from "../common/elements.js";
import { fit } from "../common/figures.js";
import { say } from "../common/say.js";
import { textOf } from "../contribute/names.js";
import { button } from "./buttons.js";
import { counts, isLasting } from "./evening.js";

/**
 * @typedef {import("./evening.js").Line} Line
 * @typedef {import("./evening.js").State} State
 * @typedef {import("./told.js").Reading} Reading
 * @typedef {import("./known.js").Known} Known
 */

/**
 * What to do before each donning of the run.
 * @param {State} state
 * @param {Line[]} lines
 * @param {Known} known
 */
export function stepsOf({ setUp, takes }, lines, { labels, bench }) {
  const specimens = Math.max(1, ...[...lines, ...takes].map(({ specimen }) => specimen));
  const lasting = (/** @type {string} */ _slot, /** @type {string} */ part) => isLasting(setUp.newParts, part, bench.lasting);
  return (/** @type {Pick<Line, "worn" | "specimen"> | null} */ before, /** @type {Pick<Line, "worn" | "specimen">} */ next) =>
    labels.steps(setUp, before, next, { specimens, lasting });
}

/**
 * @param {State} state
 * @param {Line[]} lines
 * @param {Reading[]} readings
 * @param {Known} known
 * @param {(line: Line) => void} don
 */
export function runList(state, lines, readings, known, don) {
  const steps = stepsOf(state, lines, known);
  const figures = new Map(readings.map((one) => [one.take.id, one]));
  const rows = lines.map((line, place) => {
    const todo = steps(lines[place - 1] ?? null, line);
    const wear = known.labels.change(state.setUp, line.worn);
    const reading = line.take && figures.get(line.take.id);
    const done = reading
      ? [html("strong", {}, fit(reading.fitFactor, reading.atLeast)), html("span", { class: "sb-muted" }, ` ${say("bench_page.take_number", { number: reading.number })}`)]
      : [html("span", { class: "sb-bench__blank", "aria-hidden": "true" }), button(say("bench_page.don_this"), () => don(line), say("bench_page.row_named", { row: place + 1, wear }))];
    return html(
      "tr",
      line.take ? { class: "sb-bench__done" } : {},
      html("td", { class: "sb-num" }, String(place + 1)),
      html("th", { scope: "row" }, wear, html("span", { class: "sb-muted sb-bench__todo" }, todo.join("; ") || say("sheet.nothing"))),
      html("td", { class: "sb-bench__taken" }, ...done),
      html("td", { class: "sb-bench__paper" }),
    );
  });
  const head = [say("bench_page.donning"), say("bench_page.wear"), say("form.fit_factor"), say("bench_page.paper")];
  const cells = head.map((text, place) => html("th", { scope: "col", ...(place === 3 ? { class: "sb-bench__paper" } : {}) }, text));
  return html(
    "table",
    { class: "sb-figures sb-bench__run" },
    html("thead", {}, html("tr", {}, ...cells)),
    html("tbody", {}, ...rows),
  );
}

/**
 * Every take in order of time, each to be edited or removed.
 * @param {State} state
 * @param {Reading[]} readings
 * @param {Known} known
 * @param {{edit: (reading: Reading) => void, remove: (reading: Reading) => void}} act
 */
export function takeList({ setUp }, readings, { labels }, { edit, remove }) {
  const items = readings.map((reading) => {
    const { take, number, fitFactor, atLeast, sound } = reading;
    const aside = textOf(take.answers, "test.result.set_aside").trim();
    const named = say("bench_page.take_number", { number });
    return html(
      "li",
      counts(take) ? {} : { class: "sb-aside" },
      html("span", { class: "sb-bench__figure" }, fit(fitFactor, atLeast)),
      html(
        "span",
        { class: "sb-bench__about" },
        labels.change(setUp, take.worn),
        ...(aside ? [html("span", { class: "sb-muted" }, ` ${say("bench_page.set_aside", { reason: aside })}`)] : []),
        ...(sound ? [] : [html("strong", {}, ` ${say("bench_page.not_sound")}`)]),
      ),
      html("span", { class: "sb-bench__acts" }, button(say("bench_page.edit"), () => edit(reading), named), button(say("compare.remove"), () => remove(reading), named)),
    );
  });
  return html("ol", { class: "sb-bench__takes" }, ...items);
}
