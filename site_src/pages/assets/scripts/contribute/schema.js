// What a key of an entry may hold, by its JSON Schema, and what somebody typed as that value or a problem in words.
import { say } from "../common/say.js";

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
const LONGEST_QUOTE = 60;

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
  if (text === "") return field.required ? { problem: say("form.problem.missing") } : {};
  if (field.kind === "boolean") return { value: text === "yes" };
  if (field.kind === "word") return { value: text };
  if (field.kind === "date") return day(text, patterns);
  if (field.kind === "lines") return list(field, text, patterns);
  return field.kind === "number" || field.kind === "integer" ? number(field, text, patterns) : string(field, text, patterns);
}

/** @returns {Read} */
function number(/** @type {Field} */ field, /** @type {string} */ typed, /** @type {Patterns} */ patterns) {
  // A comma may part thousands as well as decimals.
  if (/^[1-9]\d{0,2},\d{3}$/.test(typed)) return { problem: say("form.problem.unclear", { text: typed }) };
  const text = /^[+-]?\d+,\d+$/.test(typed) ? typed.replace(",", ".") : typed;
  const no = (/** @type {string} */ expected, /** @type {string} */ remedy) =>
    both(say("checker.wrong_type", { expected, value: quoted(text, patterns) }), remedy);
  if (field.kind === "integer" && !/^[+-]?\d+$/.test(text)) return { problem: no(say("checker.integer"), say("form.problem.integer_remedy")) };
  if (!/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(text)) return { problem: no(say("checker.number"), say("form.problem.number_remedy")) };
  const { minimum = -Infinity, exclusiveMinimum: limit = -Infinity, maximum = Infinity } = field;
  const value = Number(text);
  if (value < minimum) return { problem: both(say("checker.below", { value: text, limit: spaced(minimum) }), say("checker.below_remedy", { limit: spaced(minimum) })) };
  if (value <= limit) return { problem: both(say("checker.not_above", { value: text, limit: spaced(limit) }), say("checker.not_above_remedy", { limit: spaced(limit) })) };
  if (value > maximum) return { problem: both(say("checker.above", { value: text, limit: spaced(maximum) }), say("checker.above_remedy", { limit: spaced(maximum) })) };
  return { value };
}

/** @returns {Read} */
function string(/** @type {TextLimits} */ limits, /** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const { minLength = 0, maxLength = Infinity, pattern = "" } = limits;
  const length = [...text].length;
  const value = quoted(text, patterns);
  if (length < minLength) {
    const limit = say("checker.characters", { n: minLength });
    return { problem: both(say("checker.too_short", { value, limit }), say("form.problem.short_remedy", { limit })) };
  }
  if (length > maxLength) {
    const limit = say("checker.characters", { n: maxLength });
    return { problem: both(say("checker.too_long", { value, limit }), say("checker.most_remedy", { limit })) };
  }
  // Half a surrogate pair is no text in UTF-8.
  const printable = new RegExp(patterns.text).test(text) && !/\p{Surrogate}/u.test(text);
  const fits = new RegExp(pattern).test(text);
  if (printable && fits) return { value: text };
  if (pattern === patterns.link) {
    return { problem: both(say("checker.no_link", { value }), say("checker.no_link_remedy")) };
  }
  if (!printable) return { problem: both(say("checker.hidden", { value }), say("checker.hidden_remedy")) };
  return { problem: both(say("checker.no_id", { value }), say("checker.no_id_remedy")) };
}

/** @returns {Read} */
function list(/** @type {Field} */ field, /** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const { items = {}, maxItems = Infinity } = field;
  const lines = text
    .split("\n")
    .map((line) => line.trim())
    .filter(Boolean);
  if (lines.length > maxItems) return { problem: say("form.problem.too_many_lines", { most: maxItems }) };
  const problem = lines.map((line) => string(items, line, patterns).problem).find(Boolean);
  return problem ? { problem } : { value: lines };
}

/** @returns {Read} */
function day(/** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const date = new Date(`${text}T00:00:00Z`);
  const real = /^\d{4}-\d\d-\d\d$/.test(text) && !Number.isNaN(date.valueOf()) && date.toISOString().startsWith(text);
  return real ? { value: date } : { problem: say("form.problem.no_day", { value: quoted(text, patterns) }) };
}

/** What is wrong and what to write instead. */
export function both(/** @type {string} */ problem, /** @type {string} */ remedy) {
  return `${problem} ${remedy}`;
}

/** What was typed in one short line, as the checker quotes it. */
function quoted(/** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const characters = [...text];
  const short = characters.length > LONGEST_QUOTE ? `${characters.slice(0, LONGEST_QUOTE).join("")}…` : text;
  return `"${short.replace(new RegExp(patterns.unprintable, "gu"), (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, "0")}`)}"`;
}

function spaced(/** @type {number} */ limit) {
  return String(limit).replace(/\B(?=(\d{3})+$)/g, " ");
}
