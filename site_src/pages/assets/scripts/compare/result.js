// The result of a comparison as elements of the page: verdicts first, then the wearers behind them, then the figures.
import { html } from "../common/elements.js";
import { fit, plural, rangeLabel } from "../common/figures.js";
import {
  between, onlySentence, predictionSentence, ratioLabel, setUpPhrase, verdictSentence, verdictWords, wearerLabel,
} from "./verdict-words.js";

/**
 * @typedef {import("./measured.js").Configuration} Configuration
 * @typedef {{configuration: Configuration, found: import("../statistics/contrasts.js").Comparison}} Against
 *   A configuration with its comparison with the first.
 */

const OWN_VERDICT = "Wearer by wearer; each verdict stands for itself, and for that face only.";

/**
 * "Compared with Brodipim, as sold: 2 clearly higher, 1 cannot tell".
 * @param {Configuration} first
 * @param {Against[]} others
 */
export function headingText(first, others) {
  if (others.length === 0) return `Now add what to compare with ${first.label}`;
  const words = others.map(({ found }) => verdictWords(found));
  const counts = [...new Set(words)].map((word) => [words.filter((other) => other === word).length, word]);
  const said = counts.map(([n, word]) => (others.length === 1 ? word : `${n} ${word}`)).join(", ");
  return `Compared with ${first.label}: ${said}`;
}

/**
 * A sentence for each comparison.
 * @param {Configuration} first
 * @param {Against[]} others
 */
export function verdictList(first, others) {
  const items = others.map(({ configuration, found }) => {
    const [word, ...rest] = verdictSentence(found, ...phrases(first, configuration)).split(":");
    return html("li", {}, html("strong", {}, `${word}:`), rest.join(":"));
  });
  return html("ul", { class: "sb-compare__verdicts" }, ...items);
}

/**
 * What a list of several comparisons allows for; "" for one.
 * @param {number} comparisons
 */
export function listSentence(comparisons) {
  if (comparisons < 2) return "";
  return `This list holds ${comparisons} comparisons. “Clear” allows for that (Holm's adjustment).`;
}

/**
 * One comparison in full: ratio, new faces, the wearers who tried both, how many tried one.
 * @param {Configuration} first
 * @param {Against} against
 * @param {Record<string, string>} hairLabels
 */
export function details(first, { configuration, found }, hairLabels) {
  const [a, b] = phrases(first, configuration);
  const sentences = [predictionSentence(found), onlySentence(found, a, b)].filter(Boolean).join(" ");
  const intervals = `90 % interval ${between(found.low90, found.high90)}, 99 % interval ${between(found.low99, found.high99)}.`;
  return html(
    "section",
    {},
    html("h3", {}, configuration.label),
    html("p", {}, html("strong", {}, ratioLabel(found)), ` the fit factor of ${first.label}: ${intervals}`),
    sentences ? html("p", {}, sentences) : null,
    ...(found.wearers.length ? [html("p", {}, OWN_VERDICT), wearerTable(first, configuration, found, hairLabels)] : []),
  );
}

function wearerTable(first, configuration, found, hairLabels) {
  const rows = found.wearers.map((c) => [
    wearerLabel(c, hairLabels),
    verdictWords(c),
    ratioLabel(c),
    between(c.low90, c.high90),
    `${c.n_a}, ${c.n_b}`,
  ]);
  const donnings = first.mask === configuration.mask && first.sold ? "Donnings as sold, changed" : "Donnings of each";
  const head = ["Wearer", "Verdict", "Ratio", "90 % interval", donnings];
  return table(`Wearers who tried both: ${configuration.label}`, head, rows, new Set([2, 4]));
}

/**
 * Median, range and the rest of each configuration: what the picture shows, in figures.
 * @param {import("./measured.js").Shown[]} rows
 */
export function figuresTable(rows) {
  const cells = rows.map(({ configuration, figures }) => [
    configuration.label,
    fit(figures.median_fit_factor, figures.median_at_least),
    rangeLabel(figures),
    figures.wearers,
    figures.tests,
  ]);
  return table("Figures", ["Configuration", "Median fit factor", "Range", "Wearers", "Tests"], cells, new Set([1, 2, 3, 4]));
}

/**
 * How both are named in a sentence that compares them.
 * @param {Configuration} first
 * @param {Configuration} other
 * @returns {[string, string]}
 */
export function phrases(first, other) {
  return [setUpPhrase(first, other), setUpPhrase(other, first)];
}

/**
 * The whole comparison as a Markdown table, with where it is from and a caution.
 * @param {import("./measured.js").Shown[]} rows the first one first
 * @param {Against[]} others
 * @param {string} address
 * @param {string[]} cautions
 */
export function markdown(rows, others, address, cautions) {
  const lines = rows.map(({ configuration, figures }, place) => {
    const found = place ? others[place - 1].found : null;
    const tests = `${plural(figures.tests, "test")}, ${plural(figures.wearers, "wearer")}`;
    const compared = found
      ? [ratioLabel(found), between(found.low90, found.high90), verdictWords(found), `${found.wearers.length}`]
      : ["1", "", "compared with", ""];
    const median = fit(figures.median_fit_factor, figures.median_at_least);
    return [configuration.label, median, rangeLabel(figures), tests, ...compared];
  });
  const head = ["Configuration", "Median fit factor", "Range", "Tests", "Ratio", "90 % interval", "Verdict", "Wearers of both"];
  const row = (/** @type {string[]} */ cells) => `| ${cells.map(escaped).join(" | ")} |`;
  return [row(head), row(head.map(() => "---")), ...lines.map(row), "", ...cautions, "", `<${address}>`, ""].join("\n");
}

/** A text without meaning in Markdown or HTML. */
function escaped(/** @type {string} */ text) {
  return text === "---" ? text : text.replace(/[\\`*_[\]<>|#~]/g, "\\$&");
}

/** @param {string} label @param {string[]} head @param {(string | number)[][]} rows @param {Set<number>} numbers */
function table(label, head, rows, numbers) {
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
        ...rows.map(([name, ...cells]) =>
          html(
            "tr",
            {},
            html("th", { scope: "row" }, name),
            ...cells.map((cell, i) => html("td", place(i + 1), String(cell))),
          ),
        ),
      ),
    ),
  );
}
