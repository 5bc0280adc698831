// What a list of advice says, as the builder says it in the page (_advice.html): change both together.
import { plural } from "../common/figures.js";
import { inWords } from "./face-words.js";

export const NOTHING_TESTED = "Nothing that could be suggested has been tested yet. ";
export const ADD_A_TEST = "Add a test.";
export const CHANGED = "Changed mask: no longer certified, see the ";
export const CAUTIONS = "cautions";
export const NOT_CERTIFIED = "changed, not certified";
export const LIST_TITLE = "Configurations, best first";
export const CONFIGURATION = "Configuration";
export const CHANCE = "Chance (90 % interval)";
export const ALONE = "alone: ";
export const NO_PROMISE = "No promise: only a fit test on you tells.";
export const LIST_ALL = "sealbook suggest";
export const LISTS_ALL = " lists all.";

/**
 * The columns of figures.
 * @param {boolean} model whether chances are predicted
 */
export function figureColumns(model) {
  return ["Wearers", "Near", "Reached 100", model ? "Expected" : "Median"];
}

/**
 * "3 of 4"; "–" for none.
 * @param {Published.Advised} row
 */
export function reachedWords({ reached, share_wearers: wearers }) {
  return reached === null ? "–" : `${reached} of ${wearers}`;
}

/**
 * What stands in place of a chance where none is predicted.
 * @param {Published.Advised} row
 */
export function firstReachedWords(row) {
  return `reached 100 on ${reachedWords(row)}, `;
}

/**
 * "14 wearers, 3 near this face".
 * @param {Published.Advised} row
 */
export function wearersWords({ wearers, near_wearers: near }) {
  return plural(wearers, "wearer") + (near === null ? "" : `, ${near} near this face`);
}

/**
 * What stands before the chance that one of a list passes.
 * @param {number} count
 */
export function anyOfWords(count) {
  return `Chance that at least one of these ${count} reaches 100 on a first donning: `;
}

/**
 * ", 4 in 5 people."
 * @param {number} chance
 */
export function peopleWords(chance) {
  return `, ${inWords(chance)} people.`;
}

/**
 * How many configurations a list leaves out.
 * @param {number} more
 * @param {boolean} model
 */
export function moreWords(more, model) {
  return `${plural(more, "configuration")} more, each with a lower ${model ? "chance" : "rank"}: `;
}
