// Entries as TOML, character for character as the builder writes them: plain keys first, then the tables.

/** A list longer than this many characters gets a line an item. */
const WIDTH = 90;

/**
 * @typedef {string | number | boolean | Date} Plain a Date is a day in UTC
 * @typedef {{[key: string]: Value}} Table
 * @typedef {Plain | Plain[] | Table | Table[]} Value
 */

/**
 * The text of an entry's file, its keys in the order they have in the record.
 * @param {string} schema address of its JSON Schema, as seen from the file
 * @param {Table} record
 */
export function toToml(schema, record) {
  return `${[`#:schema ${schema}`, ...lines(record, "")].join("\n")}\n`;
}

/** @returns {string[]} */
function lines(/** @type {Table} */ table, /** @type {string} */ name) {
  /** @type {string[]} */
  const plain = [];
  /** @type {string[]} */
  const inner = [];
  for (const [key, value] of Object.entries(table)) {
    const path = name ? `${name}.${key}` : key;
    if (isTable(value)) inner.push("", `[${path}]`, ...lines(value, path));
    else if (isTables(value)) inner.push(...value.flatMap((item) => ["", `[[${path}]]`, ...lines(item, path)]));
    else plain.push(`${key} = ${Array.isArray(value) ? list(value.map(written)) : written(value)}`);
  }
  return [...plain, ...inner];
}

/** @returns {value is Table} */
function isTable(/** @type {Value} */ value) {
  return typeof value === "object" && !Array.isArray(value) && !(value instanceof Date);
}

/** @returns {value is Table[]} */
function isTables(/** @type {Value} */ value) {
  return Array.isArray(value) && value.some(isTable);
}

function written(/** @type {Plain} */ value) {
  if (value instanceof Date) return value.toISOString().slice(0, 10);
  if (typeof value === "number") return number(value);
  // Basic strings escape as JSON's do, and DEL too (TOML 1.0, "String").
  return typeof value === "string" ? JSON.stringify(value).replaceAll("\x7f", "\\u007f") : String(value);
}

/** The shortest decimal that reads back as the same number, with an exponent of two digits below 0.0001. */
function number(/** @type {number} */ value) {
  if (value === 0 || Math.abs(value) >= 1e-4) return String(value);
  return value.toExponential().replace(/e-(\d)$/, "e-0$1");
}

function list(/** @type {string[]} */ items) {
  const line = `[${items.join(", ")}]`;
  return [...line].length <= WIDTH ? line : ["[", ...items.map((item) => `    ${item},`), "]"].join("\n");
}
