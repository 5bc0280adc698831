// The result of a comparison as elements of the page: verdicts first, then the wearers behind them, then the figures.
import { html } from "../common/elements.js";
import { between, fit, rangeLabel } from "../common/figures.js";
import { say } from "../common/say.js";
import { figureColumns, markdownColumns, ratioWords, testsWords, wearerColumns } from "./result-words.js";
import {
  furtherSentences, measuredSentence, ratioLabel, setUpPhrase, shrunkSentence, verdictSentence, verdictWords,
  wearerLabel,
} from "./verdict-words.js";

/**
 * @typedef {import("./measured.js").Configuration} Configuration
 * @typedef {import("./measured.js").Shown} Shown
 * @typedef {{configuration: Configuration, found: import("../statistics/contrasts.js").Comparison}} Against
 *   A configuration with its comparison with the first.
 */

/**
 * A sentence for each comparison.
 * @param {Configuration} first
 * @param {Against[]} others
 */
export function verdictList(first, others) {
  const items = verdictTexts(first, others).map((text) => {
    const [word, ...rest] = text.split(":");
    return html("li", {}, html("strong", {}, `${word}:`), rest.join(":"));
  });
  return html("ul", { class: "sb-compare__verdicts" }, ...items);
}

/**
 * The sentences alone.
 * @param {Configuration} first
 * @param {Against[]} others
 */
export function verdictTexts(first, others) {
  return others.map(({ configuration, found }) => verdictSentence(found, ...phrases(first, configuration)));
}

/**
 * One comparison in full: ratio, new faces, the wearers who tried both, how many tried one.
 * @param {Configuration} first
 * @param {Against} against
 * @param {Record<string, string>} hairLabels
 * @param {HTMLElement | null} ratios the place of its picture, where that stands here
 */
export function details(first, { configuration, found }, hairLabels, ratios) {
  const [a, b] = phrases(first, configuration);
  const sentences = furtherSentences(found, a, b).filter(Boolean).join(" ");
  return html(
    "section",
    {},
    html("h3", {}, configuration.label),
    html("p", {}, ...ratioWords(html("strong", {}, ratioLabel(found)), first, found)),
    sentences ? html("p", {}, sentences) : null,
    ratios,
    ...(found.wearers.length
      ? [html("p", {}, say("compare.own_verdict")), wearerTable(first, { configuration, found }, hairLabels)]
      : []),
  );
}

/**
 * @param {Configuration} first
 * @param {Against} against
 * @param {Record<string, string>} hairLabels
 */
function wearerTable(first, { configuration, found }, hairLabels) {
  const rows = found.wearers.map((c) => [
    wearerLabel(c, hairLabels),
    verdictWords(c),
    ratioLabel(c),
    between(c.low90, c.high90),
    `${c.n_a}, ${c.n_b}`,
  ]);
  return table(say("compare.wearers", { configuration: configuration.label }), wearerColumns(first, configuration), rows, new Set([2, 4]));
}

/**
 * Median, range and the rest of each configuration: what the picture shows, in figures.
 * @param {Shown[]} rows
 */
export function figuresTable(rows) {
  const cells = rows.map(({ configuration, figures }) => [
    configuration.label,
    fit(figures.median_fit_factor, figures.median_at_least),
    rangeLabel(figures),
    figures.wearers,
    figures.tests,
  ]);
  return table(say("compare.figures"), figureColumns(), cells, new Set([1, 2, 3, 4]));
}

/**
 * How both are named in a sentence that compares them.
 * @param {Configuration} first
 * @param {Configuration} other
 * @returns {[string, string]}
 */
function phrases(first, other) {
  return [setUpPhrase(first, other), setUpPhrase(other, first)];
}

/**
 * The whole comparison as a Markdown table, with where it is from and a caution.
 * @param {Shown[]} rows the first one first
 * @param {Against[]} others
 * @param {string} address
 * @param {string[]} cautions
 */
export function markdown(rows, others, address, cautions) {
  const lines = rows.map(({ configuration, figures }, place) => {
    const found = others[place - 1]?.found;
    const compared = found
      ? [ratioLabel(found), between(found.low90, found.high90), verdictWords(found), `${found.wearers.length}`]
      : ["1", "", say("compare.compared_with"), ""];
    const median = fit(figures.median_fit_factor, figures.median_at_least);
    return [configuration.label, median, rangeLabel(figures), testsWords(figures), ...compared];
  });
  const row = (/** @type {string[]} */ cells) => `| ${cells.map(escaped).join(" | ")} |`;
  const head = markdownColumns();
  const further = others.map(({ configuration, found }) => {
    const sentences = [measuredSentence(found), shrunkSentence(found)].filter(Boolean).join(" ");
    return sentences && `- ${escaped(configuration.label)}: ${sentences}`;
  });
  const below = [...further.filter(Boolean), "", ...cautions, "", `<${address}>`, ""];
  return [row(head), row(head.map(() => "---")), ...lines.map(row), "", ...below].join("\n");
}

/** A text without meaning in Markdown or HTML. */
function escaped(/** @type {string} */ text) {
  return text === "---" ? text : text.replace(/[\\`*_[\]<>|#~]/g, "\\$&");
}

/**
 * @param {string} label
 * @param {string[]} head
 * @param {(string | number)[][]} rows
 * @param {Set<number>} numbers places of the columns that hold figures
 */
function table(label, head, rows, numbers) {
  /** @returns {import("../common/elements.js").Attributes} */
  const place = (/** @type {number} */ column) => (numbers.has(column) ? { class: "sb-num" } : {});
  return html(
    "div",
    { class: "sb-table", tabindex: 0, role: "region", "aria-label": label },
    html(
      "table",
      { class: "sb-figures" },
      html("thead", {}, html("tr", {}, ...head.map((text, i) => html("th", { scope: "col", ...place(i) }, text)))),
      html(
        "tbody",
        {},
        ...rows.map(([name = "", ...cells]) =>
          html(
            "tr",
            {},
            html("th", { scope: "row" }, String(name)),
            ...cells.map((cell, i) => html("td", place(i + 1), String(cell))),
          ),
        ),
      ),
    ),
  );
}
