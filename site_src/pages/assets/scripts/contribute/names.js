// Names of questions: `test.face.wearer` is a key of the test, `part.test.configuration.edge.name` one of a new part.

import { plain } from "../common/spelling.js";

/** The choice of a mask or part that has no file yet; no id holds a "+". */
export const NEW = "+new";

/** The tables whose keys are slots and whose values are parts. */
const PART_TABLES = ["mask.as_sold", "test.configuration"];

/**
 * @typedef {string | boolean | string[]} Answer as it was typed
 * @typedef {Record<string, Answer>} Answers by name of the question
 */

const PART_PLACE = /^part\.((?:mask\.as_sold|test\.configuration)\.[a-z-]+)/;

/**
 * The kind of entry and the key that a question asks for.
 * @param {string} name
 */
export function placeOf(name) {
  const [kind, ...path] = name.replace(PART_PLACE, "part").split(".");
  return {
    kind: /** @type {Published.Kind} */ (kind),
    path: path.map((key) => (/^\d+$/.test(key) ? Number(key) : key)),
  };
}

/**
 * What was typed or chosen, "" for nothing.
 * @param {Answers} answers
 * @param {string} name
 */
export function textOf(answers, name) {
  const answer = answers[name];
  return typeof answer === "string" ? answer : "";
}

/**
 * Whether a question or group is asked at all, given the other answers.
 * @param {string} name
 * @param {Answers} answers
 */
export function inPlay(name, answers) {
  const is = (/** @type {string} */ other, /** @type {string} */ value) => answers[other] === value;
  const place = PART_PLACE.exec(name)?.[1];
  if (place && !(is(place, NEW) && inPlay(place, answers))) return false;
  if (name === "mask.class_name" && !is("mask.class", "other")) return false;
  if (/^mask\b/.test(name)) return is("test.mask", NEW);
  if (/^test\.face\.(length|width)_mm$/.test(name)) return is("face.known", "mm");
  if (name === "test.face.cell") return is("face.known", "cell");
  if (/^test\.result\.(fit_factor|at_least)$/.test(name)) return is("result.kind", "overall");
  if (name.startsWith("test.result.exercise")) return is("result.kind", "exercise");
  if (!name.includes("counts"))
    return !/section\.(width|thickness|diameter)_mm$/.test(name) || sectionAsks(name, answers);
  const [, row = "", key = ""] = /^test\.result\.counts\.(\d+)\.(\w+)$/.exec(name) ?? [];
  if (key === "exercise" && !is(`test.result.counts.${row}.phase`, "mask")) return false;
  if (["particles", "concentration"].includes(key) && !is("counts.measure", key)) return false;
  return is("result.kind", "counts");
}

function sectionAsks(/** @type {string} */ name, /** @type {Answers} */ answers) {
  const [section, key] = [name.slice(0, name.lastIndexOf(".")), name.slice(name.lastIndexOf(".") + 1)];
  return answers[`${section}.shape`] === (key === "diameter_mm" ? "round" : "strip");
}

/**
 * The new parts that are asked for, by the slot that they fill: `test.configuration.edge`.
 * @param {Answers} answers
 */
export function newParts(answers) {
  return Object.keys(answers).filter(
    (name) =>
      PART_TABLES.some((table) => name.startsWith(`${table}.`)) && answers[name] === NEW && inPlay(name, answers),
  );
}

/**
 * The numbers of a list's rows.
 * @param {string} list
 * @param {Answers} answers
 */
export function rowsOf(list, answers) {
  const numbers = Object.keys(answers).flatMap((name) => {
    const rest = name.startsWith(`${list}.`) ? name.slice(list.length + 1) : "";
    return /^\d+\./.test(rest) ? [Number.parseInt(rest, 10)] : [];
  });
  return [...new Set(numbers)].sort((a, b) => a - b);
}

/**
 * A text as ids are written.
 * @param {string} text
 */
export function idFrom(text) {
  return plain(text)
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 60)
    .replace(/^-|-$/g, "");
}
