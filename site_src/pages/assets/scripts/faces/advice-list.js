// Draws advice as the builder draws it in the page (_advice.html): change both together.
import { html } from "../common/elements.js";
import { figure } from "../common/figures.js";
import {
  ADD_A_TEST, ALONE, anyOfWords, CAUTIONS, CHANCE, CHANGED, CONFIGURATION, figureColumns, firstReachedWords, LIST_ALL,
  LIST_TITLE, LISTS_ALL, moreWords, NO_PROMISE, NOT_CERTIFIED, NOTHING_TESTED, peopleWords, reachedWords, wearersWords,
} from "./advice-words.js";
import { chanceText, intervalText, rankedChance } from "./face-words.js";

/**
 * @typedef {Published.Advised} Row
 * @typedef {import("../common/elements.js").Child} Child
 */

/**
 * The list to try first, with the chance that one of it passes.
 * @param {Published.Advice} advice
 * @returns {(string | Node)[]}
 */
export function firstList({ first, check }) {
  const last = first.at(-1);
  if (!last) return [html("p", {}, NOTHING_TESTED, html("a", { href: "../contribute/" }, ADD_A_TEST))];
  const { cumulative_chance: anyPasses } = last;
  return [
    html("ol", { class: "sb-advice__first" }, ...first.map(firstItem)),
    anyPasses === null
      ? ""
      : html(
          "p",
          { class: "sb-advice__chance" },
          anyOfWords(first.length),
          html("strong", {}, chanceText(anyPasses)),
          peopleWords(anyPasses),
        ),
    check ? html("p", { class: "sb-muted" }, `${check} ${NO_PROMISE}`) : "",
  ];
}

/**
 * Why the list is as it is, and the table.
 * @param {Published.Advice} advice
 * @returns {(string | Node)[]}
 */
export function rankedList({ basis, why, ranked, more }) {
  const model = basis === "model";
  const column = (/** @type {string} */ text, number = true) =>
    html("th", { scope: "col", class: number ? "sb-num" : "" }, text);
  const head = html(
    "tr",
    {},
    column(CONFIGURATION, false),
    model ? column(CHANCE, false) : null,
    ...figureColumns(model).map((text) => column(text)),
  );
  const body = html("tbody", {}, ...ranked.map((row) => tableRow(row, model)));
  const table = html("table", { class: "sb-figures sb-advice__ranked" }, html("thead", {}, head), body);
  return [
    html("p", { class: "sb-muted" }, why),
    html("div", { class: "sb-table", tabindex: 0, role: "region", "aria-label": LIST_TITLE }, table),
    more ? html("p", {}, moreWords(more, model), html("code", {}, LIST_ALL), LISTS_ALL) : "",
  ];
}

function firstItem(/** @type {Row} */ row) {
  const odds = chance(row);
  const alone = odds.length ? [ALONE, ...odds, ", "] : [firstReachedWords(row)];
  return html(
    "li",
    {},
    link(row),
    " ",
    html("span", { class: "sb-advice__alone" }, ...alone, wearersWords(row)),
    " ",
    row.changed
      ? html("span", { class: "sb-advice__changed" }, CHANGED, html("a", { href: "../cautions/" }, CAUTIONS), ".")
      : null,
  );
}

function tableRow(/** @type {Row} */ row, /** @type {boolean} */ model) {
  const number = (/** @type {string | number} */ text) => html("td", { class: "sb-num" }, String(text));
  return html(
    "tr",
    {},
    html("th", { scope: "row" }, link(row), " ", row.changed ? html("span", { class: "sb-muted" }, NOT_CERTIFIED) : null),
    model ? html("td", { class: "sb-advice__odds" }, ...chance(row)) : null,
    number(row.wearers),
    number(row.near_wearers ?? "–"),
    number(reachedWords(row)),
    number(figure(row.fit_factor)),
  );
}

/** The chance with its interval; nothing where none is predicted. @returns {Child[]} */
function chance(/** @type {Row} */ row) {
  if (row.chance === null || row.low === null || row.high === null) return [];
  const interval = `(${intervalText(row.low, row.high)})`;
  const muted = html("span", { class: "sb-muted sb-advice__interval" }, interval);
  return [rankedChance(row.chance, row.little_known), " ", muted];
}

function link(/** @type {Row} */ row) {
  const id = encodeURIComponent(row.configuration).replaceAll("%2B", "+");
  return html("a", { href: `../masks/${id.split("+")[0]}/#${id}` }, row.label);
}
