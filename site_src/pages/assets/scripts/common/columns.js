// Data files hold tables in columns, which makes them smaller.

/**
 * The rows of a table.
 * @template {object} Row
 * @param {{[Name in keyof Row]: Row[Name][]}} columns equally long
 * @returns {Row[]}
 */
export function rowsFromColumns(columns) {
  const named = Object.entries(columns);
  const [[, first] = ["", []]] = named;
  return first.map((_, index) => Object.fromEntries(named.map(([name, values]) => [name, values[index]])));
}
