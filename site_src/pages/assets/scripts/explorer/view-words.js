// What the explorer says in sentences.
import { plural } from "../common/figures.js";
import { MOST, tooManyWords } from "../compare/choice.js";

const KEYS = {
  style: "style",
  class: "class",
  straps: "straps",
  hack: "change",
  cell: "face cell",
  bridge: "nose bridge",
  wearers: "number of wearers",
  sort: "order",
};

/**
 * "23 of 58 configurations."
 * @param {number} shown
 * @param {number} all
 */
export function countWords(shown, all) {
  if (all === 0) return "Nothing has been entered yet.";
  const count = shown === all ? plural(all, "configuration") : `${shown} of ${plural(all, "configuration")}`;
  return shown === 0 ? `${count}. Try fewer words or fewer filters.` : `${count}.`;
}

/**
 * "Figures are over the 3 wearers in cell 4 with a high bridge."
 * @param {number} wearers
 * @param {{cell: string, bridge: string}} face
 */
export function faceWords(wearers, { cell, bridge }) {
  const where = cell === "outside" ? "outside the panel" : /^\d/.test(cell) && `in cell ${cell}`;
  const withBridge = bridge && bridge !== "unknown" && `with a ${bridge} bridge`;
  const unknown = [
    cell === "unknown" && "whose face was not measured",
    bridge === "unknown" && "whose bridge was not judged",
  ].filter(Boolean);
  const who = [plural(wearers, "wearer"), where, withBridge, unknown.join(" and ")].filter(Boolean).join(" ");
  return `Figures are over the ${who}.`;
}

/**
 * Names what an address asks for and this page leaves out; "" for nothing.
 * @param {{ignored: {key: string, value: string}[], unknown: string[], tooMany: string[]}} left
 */
export function leftOutWords({ ignored, unknown, tooMany }) {
  const values = ignored.map(({ key, value }) => `${KEYS[key]} “${value}”`).join(", ");
  const sentences = [
    values && `The address asks for ${values}, which this page does not have. It was left out.`,
    unknown.length && `There is no test that counts of ${unknown.join(", ")} here, so it cannot be compared.`,
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
  const more = chosen === 1 ? " Choose another to compare it with." : "";
  const full = chosen >= MOST ? " That is the most that can be compared: unselect one to choose another." : "";
  return `${plural(chosen, "configuration")} chosen.${more}${full}`;
}

/**
 * "Filters (2 set)".
 * @param {number} set
 */
export function filtersWords(set) {
  return set ? `Filters (${set} set)` : "Filters";
}
