// Entries as TOML, character for character as the builder writes them: plain keys first, then the tables.

/** A list longer than this many characters gets a line an item. */
const WIDTH = 90;

/** @typedef {string | number | boolean | Date | Value[] | {[key: string]: Value}} Value a Date is a day in UTC */

/**
 * The text of an entry's file, its keys in the order they have in the record.
 * @param {string} schema address of its JSON Schema, as seen from the file
 * @param {{[key: string]: Value}} record
 */
export function toToml(schema, record) {
  return `${[`#:schema ${schema}`, ...lines(record, "")].join("\n")}\n`;
}

/** @returns {string[]} */
function lines(/** @type {{[key: string]: Value}} */ table, /** @type {string} */ name) {
  const entries = Object.entries(table);
  const plain = entries.filter(([, value]) => !holdsTables(value)).map(([key, value]) => `${key} = ${written(value)}`);
  const inner = entries
    .filter(([, value]) => holdsTables(value))
    .flatMap(([key, value]) => {
      const path = name ? `${name}.${key}` : key;
      if (!Array.isArray(value)) return ["", `[${path}]`, ...lines(value, path)];
      return value.flatMap((item) => ["", `[[${path}]]`, ...lines(item, path)]);
    });
  return [...plain, ...inner];
}

function holdsTables(/** @type {Value} */ value) {
  return Array.isArray(value) ? value.some(isTable) : isTable(value);
}

function isTable(/** @type {Value} */ value) {
  return typeof value === "object" && !Array.isArray(value) && !(value instanceof Date);
}

function written(/** @type {Value} */ value) {
  if (value instanceof Date) return value.toISOString().slice(0, 10);
  if (Array.isArray(value)) return list(value.map(written));
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
