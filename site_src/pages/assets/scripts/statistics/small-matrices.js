// Linear algebra for the few answers of one reader: matrices are lists of rows.

/** @typedef {number[][]} Matrix */

/**
 * The item of a list that is known to have it.
 * @template Item
 * @param {ArrayLike<Item>} list
 * @param {number} index
 * @returns {Item}
 */
export function at(list, index) {
  return /** @type {Item} */ (list[index]);
}

/**
 * A matrix of so many rows and columns, filled in by place.
 * @param {number} rows
 * @param {number} columns
 * @param {(i: number, j: number) => number} value
 * @returns {Matrix}
 */
export function matrix(rows, columns, value) {
  return Array.from({ length: rows }, (_, i) => Array.from({ length: columns }, (_unused, j) => value(i, j)));
}

/**
 * @param {Matrix} a
 * @param {Matrix} b
 */
export function product(a, b) {
  return matrix(a.length, b[0]?.length ?? 0, (i, j) => at(a, i).reduce((sum, value, k) => sum + value * at(at(b, k), j), 0));
}

/**
 * @param {Matrix} a
 * @param {number[]} vector
 */
export function times(a, vector) {
  return a.map((row) => dot(row, vector));
}

/**
 * @param {readonly number[]} a
 * @param {readonly number[]} b
 */
export function dot(a, b) {
  return a.reduce((sum, value, k) => sum + value * at(b, k), 0);
}

/**
 * Solves a x = b for all columns of b, by elimination with pivots; also the log of the determinant's size.
 * @param {Matrix} a
 * @param {Matrix} b
 * @returns {{solution: Matrix, logDeterminant: number}}
 */
export function solve(a, b) {
  const rows = a.map((row, i) => [...row, ...at(b, i)]);
  let logDeterminant = 0;
  for (let column = 0; column < rows.length; column += 1) {
    let best = column;
    for (let row = column + 1; row < rows.length; row += 1) {
      if (Math.abs(at(at(rows, row), column)) > Math.abs(at(at(rows, best), column))) best = row;
    }
    [rows[column], rows[best]] = [at(rows, best), at(rows, column)];
    const pivot = at(rows, column);
    const scale = at(pivot, column);
    logDeterminant += Math.log(Math.abs(scale));
    rows[column] = pivot.map((value) => value / scale);
    for (let row = 0; row < rows.length; row += 1) {
      const factor = at(at(rows, row), column);
      if (row === column || factor === 0) continue;
      rows[row] = at(rows, row).map((value, k) => value - factor * at(at(rows, column), k));
    }
  }
  return { solution: rows.map((row) => row.slice(a.length)), logDeterminant };
}

/**
 * (covariance + 1/precision)⁻¹, which also holds where a precision is 0 or below.
 * @param {Matrix} covariance
 * @param {number[]} precision
 * @returns {Matrix}
 */
export function gain(covariance, precision) {
  const n = precision.length;
  const { solution } = solve(
    matrix(n, n, (i, j) => (i === j ? 1 : 0) + at(precision, i) * at(at(covariance, i), j)),
    matrix(n, n, (i, j) => (i === j ? at(precision, i) : 0)),
  );
  return matrix(n, n, (i, j) => (at(at(solution, i), j) + at(at(solution, j), i)) / 2);
}
