// What a key of an entry may hold, by its JSON Schema, and what somebody typed as that value or a problem in words.
import {
  above, below, HIDDEN, MISSING, noDay, noId, noInteger, noLink, noNumber, notAbove, tooLong, tooManyLines, tooShort,
} from "./problem-words.js";

/**
 * @typedef {Published.Schema} Schema
 * @typedef {Published.Form["patterns"]} Patterns
 *
 * @typedef {"line" | "prose" | "lines" | "number" | "integer" | "boolean" | "date" | "word" | "words"} Kind
 * @typedef {Omit<Schema, "required"> & {kind: Kind | "table" | "tables", required: boolean}} Field
 * @typedef {Pick<Schema, "pattern" | "minLength" | "maxLength">} TextLimits
 * @typedef {{value?: import("./toml.js").Value, problem?: string}} Read neither where nothing need be answered
 */

const LONGEST_LINE = 200;

/**
 * The field at a path; a number in the path stands for any item of a list.
 * @param {Schema} schema
 * @param {(string | number)[]} path
 * @returns {Field}
 */
export function fieldAt(schema, path) {
  let [parent, node] = [schema, schema];
  for (const key of path) {
    parent = resolved(schema, node);
    const inner = typeof key === "number" ? parent.items : parent.properties?.[key];
    if (!inner) throw new Error(`The schema has no ${path.join(".")}.`);
    node = inner;
  }
  const { items, ...field } = resolved(schema, node);
  const key = path.at(-1);
  const required = typeof key === "string" && (parent.required ?? []).includes(key);
  const described = items ? { ...field, items: resolved(schema, items) } : field;
  return { ...described, kind: kindOf(schema, described), required };
}

/** @returns {Field["kind"]} */
function kindOf(/** @type {Schema} */ schema, /** @type {Schema} */ field) {
  if (field.type === "object") return "table";
  if (field.type === "array") {
    const kind = field.items && kindOf(schema, resolved(schema, field.items));
    if (kind === "table") return "tables";
    return kind === "word" ? "words" : "lines";
  }
  if (field.oneOf) return "word";
  if (field.type === "number" || field.type === "integer" || field.type === "boolean") return field.type;
  if (field.format === "date") return "date";
  return (field.maxLength ?? 0) > LONGEST_LINE && !field.pattern?.startsWith("^http") ? "prose" : "line";
}

/** @returns {Schema} */
function resolved(/** @type {Schema} */ schema, /** @type {Schema} */ node) {
  const name = node.$ref?.split("/").at(-1);
  return name ? { ...schema.$defs?.[name], ...node } : node;
}

/**
 * The value of an answer.
 * @param {Field} field
 * @param {import("./names.js").Answer | undefined} answer
 * @param {Patterns} patterns
 * @returns {Read}
 */
export function valueOf(field, answer, patterns) {
  if (typeof answer === "boolean") return { value: answer };
  if (Array.isArray(answer)) return answer.length ? { value: answer } : {};
  const text = (answer ?? "").trim();
  if (text === "") return field.required ? { problem: MISSING } : {};
  if (field.kind === "boolean") return { value: text === "yes" };
  if (field.kind === "word") return { value: text };
  if (field.kind === "date") return day(text);
  if (field.kind === "lines") return list(field, text, patterns);
  return field.kind === "number" || field.kind === "integer" ? number(field, text) : string(field, text, patterns);
}

/** @returns {Read} */
function number(/** @type {Field} */ field, /** @type {string} */ text) {
  if (field.kind === "integer" && !/^[+-]?\d+$/.test(text)) return { problem: noInteger(text) };
  if (!/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(text)) return { problem: noNumber(text) };
  const { minimum = -Infinity, exclusiveMinimum: limit = -Infinity, maximum = Infinity } = field;
  const value = Number(text);
  if (value < minimum) return { problem: below(text, minimum) };
  if (value <= limit) return { problem: notAbove(text, limit) };
  if (value > maximum) return { problem: above(text, maximum) };
  return { value };
}

/** @returns {Read} */
function string(/** @type {TextLimits} */ limits, /** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const { minLength = 0, maxLength = Infinity, pattern = "" } = limits;
  const length = [...text].length;
  if (length < minLength) return { problem: tooShort(text, minLength) };
  if (length > maxLength) return { problem: tooLong(text, maxLength) };
  // Half a surrogate pair is no text in UTF-8.
  if (!new RegExp(patterns.text).test(text) || /\p{Surrogate}/u.test(text)) return { problem: HIDDEN };
  if (new RegExp(pattern).test(text)) return { value: text };
  return { problem: pattern === patterns.link ? noLink(text) : noId(text) };
}

/** @returns {Read} */
function list(/** @type {Field} */ field, /** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const { items = {}, maxItems = Infinity } = field;
  const lines = text
    .split("\n")
    .map((line) => line.trim())
    .filter(Boolean);
  if (lines.length > maxItems) return { problem: tooManyLines(maxItems) };
  const problem = lines.map((line) => string(items, line, patterns).problem).find(Boolean);
  return problem ? { problem } : { value: lines };
}

/** @returns {Read} */
function day(/** @type {string} */ text) {
  const date = new Date(`${text}T00:00:00Z`);
  const real = /^\d{4}-\d\d-\d\d$/.test(text) && !Number.isNaN(date.valueOf()) && date.toISOString().startsWith(text);
  return real ? { value: date } : { problem: noDay(text) };
}
