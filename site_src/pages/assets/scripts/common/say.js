// Says a message of the catalogue, as the builder says it: the words stand in the file of the language alone.
import { LANGUAGE } from "../words/language.js";

/** @typedef {string | number | Node} Piece */

const PLURAL = Object.entries(LANGUAGE.plural).map(([form, rule]) => ({ form, rule: new RegExp(rule) }));

/**
 * A message with its values filled in. Throws an error for a message that is not there, and for other values than it
 * names.
 * @param {string} id
 * @param {Record<string, string | number>} [values]
 */
export function say(id, values = {}) {
  return pieces(id, values).join("");
}

/**
 * A message as texts and elements: each value stands where the message names it.
 * @param {string} id
 * @param {Record<string, Piece | Piece[]>} values
 */
export function pieces(id, values) {
  const text = LANGUAGE.messages[id];
  if (typeof text !== "string") throw new Error(`There is no message ${id}.`);
  const idle = new Set(Object.keys(values));
  const said = text.split(/\{(\w+)\}/).flatMap((piece, place) => {
    if (place % 2 === 0) return piece;
    const value = values[piece];
    if (value === undefined) throw new Error(`The message ${id} names ${piece}.`);
    idle.delete(piece);
    return value;
  });
  if (idle.size) throw new Error(`The message ${id} does not name ${[...idle].join(", ")}.`);
  return said.map((piece) => (typeof piece === "number" ? plain(piece) : piece));
}

/**
 * "1 wearer", "14 wearers".
 * @param {string} noun
 * @param {number} n
 */
export function count(noun, n) {
  const forms = LANGUAGE.messages[`count.${noun}`];
  if (typeof forms !== "object") throw new Error(`Nothing is called ${noun}.`);
  const form = PLURAL.find(({ rule }) => rule.test(String(n)))?.form ?? "other";
  return (forms[form] ?? forms.other).replace("{n}", grouped(String(n)));
}

/** A label as it stands within a sentence. */
export function within(/** @type {string} */ label) {
  return LANGUAGE.lowers_labels ? label.toLowerCase() : label;
}

/** A number that is short as it stands: "117.5". */
export function plain(/** @type {number} */ number) {
  return String(number).replace(".", LANGUAGE.number.point);
}

/**
 * The digits of a whole number with its thousands apart.
 * @param {string} digits
 */
export function grouped(digits) {
  return digits.replace(/\B(?=(\d{3})+$)/g, LANGUAGE.number.thousands);
}
