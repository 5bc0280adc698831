// What the explorer says in sentences.
import { count, say } from "../common/say.js";
import { MOST } from "../compare/choice.js";
import { tooManyWords } from "../compare/choice-words.js";

/**
 * "23 of 58 configurations."
 * @param {number} shown
 * @param {number} all
 */
export function countWords(shown, all) {
  const configurations = count("configuration", all);
  if (shown === 0) return say("explore.none", { configurations });
  return shown === all ? say("explore.all", { configurations }) : say("explore.some", { shown, configurations });
}

/**
 * "Figures are over the 3 wearers in cell 4 with a high bridge."
 * @param {number} wearers
 * @param {{cell: string, bridge: string, near: string}} face
 */
export function faceWords(wearers, { cell, bridge, near }) {
  const said = [count("wearer", wearers)];
  if (near) said.push(say("explore.near"));
  if (cell === "outside") said.push(say("label.outside"));
  else if (cell && cell !== "unknown") said.push(say("explore.in_cell", { cell }));
  if (bridge && bridge !== "unknown") said.push(say("explore.with_bridge", { bridge }));
  if (cell === "unknown" && bridge === "unknown") said.push(say("explore.neither"));
  else if (cell === "unknown") said.push(say("explore.not_measured"));
  else if (bridge === "unknown") said.push(say("explore.not_judged"));
  return say("explore.over", { wearers: said.join(" ") });
}

/**
 * Says how the tests behind the figures were measured: by the method chosen, or how many methods they mix.
 * @param {{methods: number, wearers: number}} over
 * @param {string} method name of the method chosen, "" for any
 */
export function methodWords({ methods, wearers }, method) {
  if (method) return say("method.by", { method });
  return methods > 1 ? say("method.mixed", { methods, wearers: count("wearer", wearers) }) : "";
}

/**
 * Names what an address asks for and this page leaves out; "" for nothing.
 * @param {{ignored: import("./view-state.js").Ignored[], unknown: string[], tooMany: string[]}} left
 */
export function leftOutWords({ ignored, unknown, tooMany }) {
  const values = ignored
    .map(({ key, value }) => say("explore.value", { key: say(`explore.key.${key}`), value }))
    .join(", ");
  const sentences = [
    values && say("explore.ignored", { values }),
    unknown.length && say("explore.unknown", { configurations: unknown.join(", ") }),
    tooManyWords(tooMany),
  ];
  return sentences.filter(Boolean).join(" ");
}

/**
 * "2 configurations chosen."; "" for none.
 * @param {number} chosen
 */
export function chosenWords(chosen) {
  if (chosen === 0) return "";
  const said = [say("explore.chosen", { configurations: count("configuration", chosen) })];
  if (chosen === 1) said.push(say("explore.choose_another"));
  if (chosen >= MOST) said.push(say("explore.chosen_most"));
  return said.join(" ");
}

/**
 * "Filters (2 set)".
 * @param {number} set
 */
export function filtersWords(set) {
  return set ? say("explore.filters_set", { filters: set }) : say("explore.filters");
}

/**
 * "Median, highest first".
 * @param {string} column what the column is called
 * @param {string} order column, "-" before it for falling order
 * @param {boolean} isName
 */
export function orderWords(column, order, isName) {
  if (isName) return say("explore.by_name", { column });
  return order.startsWith("-") ? say("explore.falling", { column }) : say("explore.rising", { column });
}
