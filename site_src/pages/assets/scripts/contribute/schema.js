// What a key of an entry may hold, by its JSON Schema, and what somebody typed as that value or a problem in words.

/** @typedef {"line" | "prose" | "lines" | "number" | "integer" | "boolean" | "date" | "word" | "words"} Kind */

/**
 * @typedef {object} Field
 * @property {Kind | "table" | "tables"} kind
 * @property {boolean} required
 * @property {string} description
 * @property {{const: string, title: string, description: string}[]} [oneOf] the words, one of which it is
 * @property {any} [items] schema of a list's items
 * @property {any} [default] what a key left out means
 * @property {string} [pattern]
 * @property {number} [minLength]
 * @property {number} [maxLength]
 * @property {number} [maxItems]
 * @property {number} [minimum]
 * @property {number} [exclusiveMinimum]
 * @property {number} [maximum]
 */

/** @typedef {{id: string, text: string, link: string}} Patterns the forms of texts, as the schemas write them */

const LONGEST_LINE = 200;
const LONGEST_QUOTE = 60;
const ANEW = "Type the text anew without it.";
export const MISSING = "Missing.";

/**
 * The field at a path; a number in the path stands for any item of a list.
 * @param {any} schema
 * @param {(string | number)[]} path
 * @returns {Field}
 */
export function fieldAt(schema, path) {
  let [parent, node] = [schema, schema];
  for (const key of path) {
    parent = resolved(schema, node);
    node = typeof key === "number" ? parent.items : parent.properties[key];
  }
  const field = resolved(schema, node);
  const items = field.items && resolved(schema, field.items);
  return { ...field, items, kind: kindOf(schema, field), required: (parent.required ?? []).includes(path.at(-1)) };
}

/** @returns {Field["kind"]} */
function kindOf(schema, field) {
  if (field.type === "object") return "table";
  if (field.type === "array")
    return { table: "tables", word: "words" }[kindOf(schema, resolved(schema, field.items))] ?? "lines";
  if (field.oneOf) return "word";
  if (field.type !== "string") return field.type;
  if (field.format === "date") return "date";
  return field.maxLength > LONGEST_LINE && !field.pattern.startsWith("^http") ? "prose" : "line";
}

function resolved(schema, node) {
  return node.$ref ? { ...schema.$defs[node.$ref.split("/").at(-1)], ...node } : node;
}

/**
 * The value of an answer; neither value nor problem where nothing was answered and nothing need be.
 * @param {Field} field
 * @param {string | boolean | string[] | undefined} answer
 * @param {Patterns} patterns
 * @returns {{value?: import("./toml.js").Value, problem?: string}}
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

function number(/** @type {Field} */ field, /** @type {string} */ text) {
  const [form, problem] =
    field.kind === "integer"
      ? [/^[+-]?\d+$/, "a whole number, found text: {}. Write it without a decimal point, such as 4."]
      : [/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i, "a number, found text: {}. Write it with a decimal point, such as 117.5."];
  if (!form.test(text)) return { problem: `Expected ${problem.replace("{}", () => quoted(text))}` };
  const { minimum, exclusiveMinimum: above, maximum } = field;
  const value = Number(text);
  if (value < minimum) return { problem: `${text} is below ${spaced(minimum)}. Write ${spaced(minimum)} or more.` };
  if (value <= above)
    return { problem: `${text} is not above ${spaced(above)}. Write a number above ${spaced(above)}.` };
  if (value > maximum) return { problem: `${text} is above ${spaced(maximum)}. Write ${spaced(maximum)} or less.` };
  return { value };
}

function string(/** @type {Field} */ field, /** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const { minLength = 0, maxLength = Number.POSITIVE_INFINITY, pattern } = field;
  const length = [...text].length;
  if (length < minLength)
    return { problem: `${quoted(text)} is shorter than ${minLength} characters. Write at least ${minLength}.` };
  if (length > maxLength)
    return { problem: `${quoted(text)} is longer than ${maxLength} characters. Write at most ${maxLength}.` };
  // Half a surrogate pair is no text in UTF-8.
  if (!new RegExp(patterns.text).test(text) || /\p{Surrogate}/u.test(text)) {
    return { problem: `This holds a control character or a mark that turns the reading direction around. ${ANEW}` };
  }
  if (new RegExp(pattern).test(text)) return { value: text };
  if (pattern === patterns.link)
    return { problem: `${quoted(text)} is no web address. Write an address that begins with https://.` };
  return {
    problem: `${quoted(text)} is no id: small letters and digits, single hyphens between. Write one such as blue-heron.`,
  };
}

function list(/** @type {Field} */ field, /** @type {string} */ text, /** @type {Patterns} */ patterns) {
  const items = text
    .split("\n")
    .map((line) => line.trim())
    .filter(Boolean);
  if (items.length > field.maxItems)
    return { problem: `There are more than ${field.maxItems} lines. Write at most ${field.maxItems}.` };
  const problem = items.map((item) => string(field.items, item, patterns).problem).find(Boolean);
  return problem ? { problem } : { value: items };
}

function day(/** @type {string} */ text) {
  const date = new Date(`${text}T00:00:00Z`);
  const real = /^\d{4}-\d\d-\d\d$/.test(text) && !Number.isNaN(date.valueOf()) && date.toISOString().startsWith(text);
  return real
    ? { value: date }
    : { problem: `${quoted(text)} is no date. Write it as year-month-day, such as 2026-09-12.` };
}

/** A piece of what was typed, short enough for a sentence. */
export function quoted(/** @type {string} */ text) {
  const characters = [...text];
  return `“${characters.length > LONGEST_QUOTE ? `${characters.slice(0, LONGEST_QUOTE).join("")}…` : text}”`;
}

function spaced(/** @type {number} */ limit) {
  return String(limit).replace(/\B(?=(\d{3})+$)/g, " ");
}
