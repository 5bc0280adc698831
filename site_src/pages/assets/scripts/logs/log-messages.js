// What is said of a log: in English in the command's own sentences, else in those of the page's language.
import { LANGUAGE } from "../words/language.js";
import { LOGS } from "../words/logs.js";

/** @typedef {Record<string, string | number>} Values */

const UNPRINTABLE =
  // eslint-disable-next-line no-control-regex
  /[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]/gu;
const LONGEST_QUOTE = 60;

/**
 * What is wrong with a log, or what to write instead.
 * @param {string} id
 * @param {Values} [values]
 */
export function logMessage(id, values = {}) {
  return filled(spoken(`log.${id}`) ?? LOGS.messages[id], id, values);
}

/**
 * What makes a run doubtful.
 * @param {string} id
 * @param {Values} [values]
 */
export function doubt(id, values = {}) {
  return { id, text: filled(spoken(`doubt.${id}`) ?? LOGS.doubts[id], id, values) };
}

/**
 * A few words within a message.
 * @param {string} id
 * @param {Values} [values]
 */
export function logWords(id, values = {}) {
  return filled(spoken(`log_words.${id}`) ?? LOGS.phrases[id], id, values);
}

/**
 * A number that was written as the command writes it.
 * @param {string | number} number
 */
export function pointed(number) {
  return String(number).replace(".", LANGUAGE.number.point);
}

/**
 * A value from a file in quotation marks, short and harmless.
 * @param {string} text
 */
export function quoted(text) {
  const characters = [...text];
  const short = characters.length > LONGEST_QUOTE ? `${characters.slice(0, LONGEST_QUOTE).join("")}…` : text;
  const escaped = short.replace(UNPRINTABLE, (found) => `\\u${(found.codePointAt(0) ?? 0).toString(16).padStart(4, "0")}`);
  return `"${escaped}"`;
}

/**
 * "1 value", "2 values".
 * @param {number} n
 * @param {string} noun
 */
export function counted(n, noun) {
  return n === 1 ? logWords(noun) : logWords(`${noun}s`, { n });
}

function spoken(/** @type {string} */ id) {
  const text = LANGUAGE.messages[id];
  return typeof text === "string" ? text : undefined;
}

function filled(/** @type {string | undefined} */ text, /** @type {string} */ id, /** @type {Values} */ values) {
  if (text === undefined) throw new Error(`There is no message ${id}.`);
  return text.replace(/\{(\w+)\}/g, (_, /** @type {string} */ name) => {
    const value = values[name];
    if (value === undefined) throw new Error(`The message ${id} names ${name}.`);
    return String(value);
  });
}
