// What a reader told of a mask ↔ a text as `sealbook suggest --own` takes it: two inverse functions.
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {"" | "fit-factor" | "at-least" | "passed" | "failed" | "leaks"} Outcome
 *
 * @typedef {object} Line What a reader told of one mask, or is about to tell.
 * @property {string} configuration "" for a mask that is not in the database
 * @property {string} style of such a mask
 * @property {string} maskClass
 * @property {Outcome} outcome "" where it is not chosen yet
 * @property {string} figure a fit factor as it was typed
 * @property {string} kind of fit test that was passed or failed
 * @property {Published.MeasuringMethod} method how a fit factor was measured
 *
 * @typedef {object} Words What may be told.
 * @property {{has: (id: string) => boolean}} configurations
 * @property {string[]} styles
 * @property {string[]} classes
 * @property {string[]} kinds
 * @property {Record<keyof Published.MeasuringMethod, string[]>} methods
 * @property {Published.MeasuringMethod} reference
 */

const OTHER = "other";
const METHOD = /** @type {(keyof Published.MeasuringMethod)[]} */ (["protocol", "instrument", "size_selection"]);

/**
 * A line that only names a mask.
 * @param {Words} words
 * @param {Partial<Line>} mask
 * @returns {Line}
 */
export function newLine({ reference }, mask) {
  const nothing = { configuration: "", style: "", maskClass: "", outcome: /** @type {Outcome} */ (""), figure: "" };
  return { ...nothing, kind: "quantitative", method: { ...reference }, ...mask };
}

/**
 * The fit factor that was typed; null for none. A decimal comma is a point; "1,000" may be either, so it is none.
 * @param {string} typed
 */
export function figureOf(typed) {
  const text = typed.trim();
  if (/^\d{1,3},\d{3}$/.test(text) || !/^\d+([.,]\d+)?$/.test(text)) return null;
  const value = Number(text.replace(",", "."));
  return value >= LEVELS.least_told && value <= LEVELS.most_told ? value : null;
}

/** Whether a line says all that it needs to. */
export function isComplete(/** @type {Line} */ { outcome, figure }) {
  if (outcome === "fit-factor" || outcome === "at-least") return figureOf(figure) !== null;
  return outcome !== "";
}

/**
 * The text of a complete line.
 * @param {Line} line
 * @param {Words} words
 */
export function textOf(line, { reference }) {
  const { configuration, style, maskClass, outcome, kind, method } = line;
  const mask = configuration || [OTHER, style, ...(maskClass ? [maskClass] : [])].join(":");
  const value = figureOf(line.figure);
  const ways = METHOD.flatMap((name) => (method[name] === reference[name] ? [] : [method[name]]));
  if (outcome === "fit-factor" || outcome === "at-least") {
    return `${mask}=${[`${value}${outcome === "at-least" ? "+" : ""}`, ...ways].join(":")}`;
  }
  const judged = outcome === "passed" || outcome === "failed";
  return `${mask}=${judged && kind !== "quantitative" ? `${outcome}:${kind}` : outcome}`;
}

/**
 * Reads a text; null where it is none, or names what is not known here.
 * @param {string} text
 * @param {Words} words
 * @returns {Line | null}
 */
export function lineFrom(text, words) {
  const [name = "", told = "", ...more] = text.split("=");
  const mask = maskFrom(name, words);
  const [value = "", ...ways] = told.split(":");
  if (!mask || more.length) return null;
  const line = newLine(words, mask);
  if (value === "leaks") return ways.length ? null : { ...line, outcome: value };
  if (value === "passed" || value === "failed") {
    const [kind = "quantitative"] = ways;
    return words.kinds.includes(kind) && ways.length < 2 ? { ...line, outcome: value, kind } : null;
  }
  const figure = value.replace(/\+$/, "");
  if (figureOf(figure) === null) return null;
  for (const way of ways) {
    const column = METHOD.find((one) => words.methods[one].includes(way));
    if (!column) return null;
    line.method[column] = way;
  }
  return { ...line, outcome: value.endsWith("+") ? "at-least" : "fit-factor", figure };
}

/**
 * @param {string} name
 * @param {Words} words
 * @returns {Partial<Line> | null}
 */
function maskFrom(name, { configurations, styles, classes }) {
  const [other, style = "", maskClass = "", ...more] = name.split(":");
  if (other !== OTHER) return configurations.has(name) ? { configuration: name } : null;
  const known = styles.includes(style) && (maskClass === "" || classes.includes(maskClass)) && !more.length;
  return known ? { style, maskClass } : null;
}

/**
 * What a complete line tells the model.
 * @param {Line} line
 * @returns {import("../statistics/own-results.js").Told | null}
 */
export function toldBy(line) {
  const { configuration, style, outcome, kind, method } = line;
  if (outcome === "" || !isComplete(line)) return null;
  const mask = configuration ? { configuration } : { style };
  const fitFactor = figureOf(line.figure);
  if (outcome === "fit-factor" || outcome === "at-least") return { ...mask, outcome, fitFactor: fitFactor ?? LEVELS.least_told, method };
  return { ...mask, outcome, ...(outcome === "leaks" ? {} : { kind }) };
}
