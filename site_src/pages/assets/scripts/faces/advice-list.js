// Draws advice with the elements that the builder's page has (_advice.html).
import { configurationAddress } from "../common/configuration-address.js";
import { chanceText, percent } from "../common/chances.js";
import { html } from "../common/elements.js";
import { figure } from "../common/figures.js";
import { count, pieces, say } from "../common/say.js";
import { intervalText, inWords, ofTen, rankedChance } from "./face-words.js";
import { tenFaces } from "./ten-faces.js";
import { movedWords } from "./told-words.js";

/**
 * @typedef {import("./own-advice.js").Row} Row
 * @typedef {import("./own-advice.js").Advice} Advice
 */

/**
 * The list to try first, with the chance that one of it passes.
 * @param {Advice} advice
 * @returns {(string | Node)[]}
 */
export function firstList({ basis, first, check, own_check: ownCheck, best_as_sold: sold, best_changed: changed, told, place }) {
  const last = first.at(-1);
  if (!last) return [html("p", {}, say("advice.nothing"), " ", html("a", { href: "../contribute/" }, say("advice.add")))];
  const { cumulative_chance: anyPasses } = last;
  return [
    html("ol", { class: "sb-advice__first" }, ...first.map((row, n) => firstItem(row, n, { told: told ?? [], measured: place === "face" }))),
    anyPasses === null ? "" : html("p", { class: "sb-advice__chance" }, ...oneReaches(first, anyPasses)),
    basis === "model" ? html("p", { class: "sb-muted" }, say("advice.order")) : "",
    html(
      "dl",
      { class: "sb-facts" },
      html("div", {}, html("dt", {}, say("advice.best_as_sold")), best(sold)),
      html("div", {}, html("dt", {}, say("advice.best_changed")), best(changed)),
    ),
    ownCheck ? trust(check, ownCheck) : "",
  ];
}

/** How far the list can be trusted: one click away. */
function trust(/** @type {string} */ check, /** @type {string} */ ownCheck) {
  const all = html("a", { href: "../methods/#the-face-model" }, say("advice.all_checks"));
  return html(
    "details",
    { class: "sb-more" },
    html("summary", {}, say("advice.trust")),
    check ? html("p", {}, check) : null,
    html("p", {}, ownCheck),
    html("p", {}, say("advice.no_promise"), " ", all),
  );
}

/**
 * Why the list is as it is, and the table.
 * @param {Advice} advice
 * @returns {(string | Node)[]}
 */
export function rankedList({ basis, why, ranked, more }) {
  const model = basis === "model";
  const column = (/** @type {string} */ text, number = true) =>
    html("th", { scope: "col", class: number ? "sb-num" : "" }, text);
  const head = html(
    "tr",
    {},
    column(say("head.configuration"), false),
    model ? column(say("head.chance"), false) : null,
    column(say("head.wearers")),
    column(say("head.near")),
    column(say("head.reached")),
    column(say(model ? "head.expected" : "head.median")),
  );
  const body = html("tbody", {}, ...ranked.map((row) => tableRow(row, model)));
  const table = html("table", { class: "sb-figures sb-advice__ranked" }, html("thead", {}, head), body);
  return [
    html("p", { class: "sb-muted" }, why),
    html("div", { class: "sb-table", tabindex: 0, role: "region", "aria-label": say("advice.title") }, table),
    more ? html("p", {}, ...moreRows(more, model)) : "",
  ];
}

/** With the chance that one of so many reaches what is asked of a mask. */
function oneReaches(/** @type {Row[]} */ first, /** @type {number} */ share) {
  const said = html("strong", {}, chanceText(share));
  const doubt = first.every((row) => row.little_known) ? ` ${say("advice.all_little_known")}` : "";
  const words = pieces("advice.one_reaches", { tried: first.length, chance: said, odds: inWords(share) });
  return [...words, doubt];
}

function moreRows(/** @type {number} */ more, /** @type {boolean} */ model) {
  const command = html("code", {}, "sealbook suggest");
  const configurations = count("configuration", more);
  return pieces(model ? "advice.more_by_chance" : "advice.more_by_rank", { configurations, command });
}

/** The best of a kind, beside the best of the other. */
function best(/** @type {Row | null} */ row) {
  if (!row) return html("dd", {}, say("advice.none_such"));
  return html(
    "dd",
    {},
    link(row),
    " ",
    people(row),
    " ",
    html("span", { class: "sb-advice__alone" }, ...figuresOf(row)),
    " ",
    ...warnings(row),
  );
}

function figuresOf(/** @type {Row} */ row) {
  const odds = chance(row);
  return [
    ...(odds ? pieces("advice.alone", { chance: odds }) : [say("advice.reached_on", { reached: reached(row) })]),
    `, ${count("wearer", row.wearers)}`,
  ];
}

/** The chance as ten faces; nothing where there is none, or little is known. */
function people(/** @type {Row} */ { chance: known, little_known: littleKnown }) {
  if (known === null || littleKnown) return null;
  return html("span", { class: "sb-advice__people" }, tenFaces(known), ` ${ofTen(known)}`);
}

/**
 * @param {Row} row
 * @param {number} place
 * @param {{told: string[], measured: boolean}} about the masks that something was told of, whether the face was measured
 */
function firstItem(row, place, { told, measured }) {
  const { near_wearers: near, before, chance: now } = row;
  const moved = before === undefined || now === null ? null : movedWords(percent(now) - percent(before), told);
  return html(
    "li",
    {},
    link(row),
    " ",
    people(row),
    " ",
    html(
      "span",
      { class: "sb-advice__alone" },
      ...figuresOf(row),
      near === null ? null : `, ${say(measured ? "advice.near_face" : "advice.near_cell", { wearers: near })}`,
      place === 0 || row.chance === null ? null : `; ${say(place === 1 ? "advice.adds" : "advice.adds_to_all")}`,
    ),
    moved ? html("span", { class: "sb-advice__moved" }, moved) : null,
    " ",
    ...warnings(row),
  );
}

/** What stands beside a mask that is no respirator, and one that was changed. */
function warnings(/** @type {Row} */ { medical, changed }) {
  return [
    medical ? html("span", { class: "sb-advice__changed" }, say("harm.medical_short")) : null,
    changed ? html("span", { class: "sb-advice__changed" }, ...seeCautions()) : null,
  ];
}

function seeCautions() {
  return pieces("advice.changed", { cautions: html("a", { href: "../cautions/" }, say("advice.cautions")) });
}

function tableRow(/** @type {Row} */ row, /** @type {boolean} */ model) {
  const number = (/** @type {string | number} */ text) => html("td", { class: "sb-num" }, String(text));
  return html(
    "tr",
    {},
    html("th", { scope: "row" }, link(row), " ", row.changed ? html("span", { class: "sb-muted" }, say("advice.not_certified")) : null, row.medical ? html("span", { class: "sb-muted" }, ` ${say("harm.medical_short")}`) : null),
    model ? html("td", { class: "sb-advice__odds" }, ...(chance(row) ?? [])) : null,
    number(row.wearers),
    number(row.near_wearers ?? figure(null)),
    number(reached(row)),
    number(figure(row.fit_factor)),
  );
}

/** The chance with its interval; null where none is predicted. */
function chance(/** @type {Row} */ row) {
  if (row.chance === null || row.low === null || row.high === null) return null;
  const interval = `(${intervalText(row.low, row.high)})`;
  const muted = html("span", { class: "sb-muted sb-advice__interval" }, interval);
  return [rankedChance(row.chance, row.little_known), " ", muted];
}

/** "3 of 4"; "–" for none. */
function reached(/** @type {Row} */ { reached: known, share_wearers: wearers }) {
  return known === null ? figure(null) : say("summary.reached", { reached: known, wearers });
}

/** A configuration, leading to its place on its mask's page. */
export function link(/** @type {Row} */ row) {
  return html("a", { href: configurationAddress(row.configuration) }, row.label);
}
