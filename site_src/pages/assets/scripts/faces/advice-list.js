// Draws advice as the builder draws it in the page (_advice.html): change both together.
import { html } from "../common/elements.js";
import { figure, plural } from "../common/figures.js";
import { chanceText, intervalText, inWords, rankedChance } from "./face-words.js";

/**
 * The list to try first, with the chance that one of it passes.
 * @param {any} advice
 */
export function firstList(advice) {
  if (!advice.first.length) {
    return [html("p", {}, "Nothing that could be suggested has been tested yet. ", html("a", { href: "../contribute/" }, "Add a test."))];
  }
  const list = html("ol", { class: "sb-advice__first" }, ...advice.first.map((row) => firstItem(row, advice.basis)));
  const chance = advice.first.at(-1).cumulative_chance;
  return [
    list,
    chance === null
      ? ""
      : html(
          "p",
          { class: "sb-advice__chance" },
          `Chance that at least one of these ${advice.first.length} reaches 100 on a first donning: `,
          html("strong", {}, chanceText(chance)),
          `, ${inWords(chance)} people.`,
        ),
    advice.check ? html("p", { class: "sb-muted" }, `${advice.check} No promise: only a fit test on you tells.`) : "",
  ];
}

/**
 * Why the list is as it is, and the table.
 * @param {any} advice
 */
export function rankedList(advice) {
  const model = advice.basis === "model";
  const column = (/** @type {string} */ text, number = true) => html("th", { scope: "col", class: number ? "sb-num" : "" }, text);
  const head = html(
    "tr",
    {},
    column("Configuration", false),
    model ? column("Chance (90 % interval)", false) : null,
    ...["Wearers", "Near", "Reached 100", model ? "Expected" : "Median"].map((text) => column(text)),
  );
  const rows = advice.ranked.map((row) => tableRow(row, model));
  const table = html("table", { class: "sb-figures sb-advice__ranked" }, html("thead", {}, head), html("tbody", {}, ...rows));
  return [
    html("p", { class: "sb-muted" }, advice.why),
    html("div", { class: "sb-table", tabindex: 0, role: "region", "aria-label": "Configurations, best first" }, table),
    advice.more
      ? html(
          "p",
          {},
          `${plural(advice.more, "configuration")} more, each with a lower ${model ? "chance" : "rank"}: `,
          html("code", {}, "sealbook suggest"),
          " lists all.",
        )
      : "",
  ];
}

function firstItem(row, basis) {
  const words =
    basis === "model"
      ? ["alone: ", ...chance(row), ", "]
      : [`reached 100 on ${reached(row)}, `];
  const near = row.near_wearers === null ? "" : `, ${row.near_wearers} near this face`;
  return html(
    "li",
    {},
    link(row),
    " ",
    html("span", { class: "sb-advice__alone" }, ...words, plural(row.wearers, "wearer"), near),
    " ",
    row.changed
      ? html("span", { class: "sb-advice__changed" }, "Changed mask: no longer certified, see the ", html("a", { href: "../cautions/" }, "cautions"), ".")
      : null,
  );
}

function tableRow(row, model) {
  const number = (/** @type {string | number} */ text) => html("td", { class: "sb-num" }, String(text));
  return html(
    "tr",
    {},
    html("th", { scope: "row" }, link(row), " ", row.changed ? html("span", { class: "sb-muted" }, "changed, not certified") : null),
    model ? html("td", { class: "sb-advice__odds" }, ...chance(row)) : null,
    number(row.wearers),
    number(row.near_wearers ?? "–"),
    number(reached(row)),
    number(figure(row.fit_factor)),
  );
}

function chance(row) {
  return [rankedChance(row), " ", html("span", { class: "sb-muted sb-advice__interval" }, `(${intervalText(row.low, row.high)})`)];
}

function reached(row) {
  return row.reached === null ? "–" : `${row.reached} of ${row.share_wearers}`;
}

function link(row) {
  const id = encodeURIComponent(row.configuration).replaceAll("%2B", "+");
  return html("a", { href: `../masks/${id.split("+")[0]}/#${id}` }, row.label);
}
