// A table as CSV whose cells no spreadsheet takes for a formula, as the builder writes its own (RFC 4180).

/** How a text begins that a spreadsheet would work out: OWASP's page on CSV injection advises an apostrophe before it. */
const FORMULA = /^[=+\-@\t\r\n＝＋－＠]/;

/**
 * @param {(string | number | boolean | null | undefined)[][]} rows the first holds the names of the columns
 */
export function csv(rows) {
  return rows.map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}

function cell(/** @type {string | number | boolean | null | undefined} */ value) {
  if (value === null || value === undefined) return "";
  if (typeof value !== "string") return String(value);
  const text = FORMULA.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
