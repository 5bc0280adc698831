// Data files hold tables in columns, which makes them smaller.

/**
 * The rows of a table.
 * @template {object} Row
 * @param {Published.Columns<Row>} columns
 * @returns {Row[]}
 */
export function rowsFromColumns(columns) {
  /** @type {[string, unknown[]][]} */
  const named = Object.entries(columns);
  const rows = named[0]?.[1] ?? [];
  const row = (/** @type {number} */ place) => Object.fromEntries(named.map(([name, column]) => [name, column[place]]));
  return rows.map((_, place) => /** @type {Row} */ (row(place)));
}
