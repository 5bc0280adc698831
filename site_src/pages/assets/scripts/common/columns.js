// Data files hold tables in columns, which makes them smaller.

/**
 * The rows of a table.
 * @template {object} Row
 * @param {Published.Columns<Row>} columns equally long
 * @returns {Row[]}
 */
export function rowsFromColumns(columns) {
  const named = Object.entries(columns).map(([name, column]) => ({ name, values: valuesOf(column) }));
  const [{ values: first } = { values: [] }] = named;
  const row = (/** @type {number} */ index) => Object.fromEntries(named.map(({ name, values }) => [name, values[index]]));
  return first.map((_, index) => /** @type {Row} */ (row(index)));
}

/**
 * The values of a column, also of one whose repeated words are written once.
 * @template Value
 * @param {Published.Column<Value>} column
 * @returns {Value[]}
 */
function valuesOf(column) {
  return "words" in column ? column.at.map((place) => /** @type {Value} */ (column.words[place])) : column;
}
