// Weighted least squares that knows which coefficients the design can tell apart: builder/fit/compare/linear.py.
import { dot, matrix, product, solve, times } from "./small-matrices.js";

/** @typedef {import("./small-matrices.js").Matrix} Matrix */

/** What is smaller beside the largest row is nothing. */
const NOTHING = 1e-9;
const SAME = 1e-7;

/** @param {Matrix} a */
export function transposed(a) {
  return matrix(a[0]?.length ?? 0, a.length, (i, j) => a[j]?.[i] ?? 0);
}

/** @param {number} n */
export function identity(n) {
  return matrix(n, n, (i, j) => (i === j ? 1 : 0));
}

/** @param {Matrix} a of full rank */
export function inverse(a) {
  return solve(a, identity(a.length)).solution;
}

/**
 * An orthonormal basis of the space that rows span, a vector a row: Gram and Schmidt's, the longest that is left first.
 * @param {Matrix} rows
 * @returns {Matrix}
 */
export function basisOf(rows) {
  let left = rows.map((row) => [...row]);
  /** @type {Matrix} */
  const basis = [];
  let longest = 0;
  for (;;) {
    const sizes = left.map((row) => Math.sqrt(dot(row, row)));
    const size = Math.max(0, ...sizes);
    longest = Math.max(longest, size);
    const place = sizes.indexOf(size);
    if (place < 0 || size <= NOTHING * longest) return basis;
    let unit = (left[place] ?? []).map((value) => value / size);
    // Once more, for what rounding left of the others.
    for (const other of basis) {
      const part = dot(unit, other);
      unit = unit.map((value, k) => value - part * (other[k] ?? 0));
    }
    const again = Math.sqrt(dot(unit, unit));
    const direction = unit.map((value) => value / again);
    basis.push(direction);
    left = left.map((row) => {
      const part = dot(row, direction);
      return row.map((value, k) => value - part * (direction[k] ?? 0));
    });
  }
}

/**
 * The pseudo-inverse of X′WX, from a basis of the rows of X.
 * @param {Matrix} squared
 * @param {Matrix} basis
 */
export function pseudoInverse(squared, basis) {
  const across = transposed(basis);
  return product(product(across, inverse(product(product(basis, squared), across))), basis);
}

/** Coefficients with their covariance, and the projector onto the row space of the design. */
export class LinearFit {
  /**
   * @param {Matrix} design of any rank
   * @param {number[]} y
   * @param {Matrix} weights rows × rows
   * @param {Matrix} covariance that of `y`
   */
  constructor(design, y, weights, covariance) {
    const basis = basisOf(design);
    const weighted = product(transposed(design), weights);
    const solver = product(pseudoInverse(product(weighted, design), basis), weighted);
    this.coefficients = times(solver, y);
    this.covariance = product(product(solver, covariance), transposed(solver));
    this.rowSpace = product(transposed(basis), basis);
  }

  /** Whether a coefficient is determined by the design. */
  estimable(/** @type {number} */ column) {
    return isUnit(this.rowSpace, column);
  }

  /** Columns that the design cannot tell apart from one. */
  aliases(/** @type {number} */ column) {
    const row = this.rowSpace[column] ?? [];
    return row.flatMap((share, other) => (Math.abs(share) > SAME && other !== column ? [other] : []));
  }

  /** A coefficient with its standard error. */
  estimate(/** @type {number} */ column) {
    return { estimate: this.coefficients[column] ?? 0, se: Math.sqrt(this.covariance[column]?.[column] ?? 0) };
  }
}

/**
 * Whether a projector leaves the unit vector of a column as it is.
 * @param {Matrix} projector
 * @param {number} column
 */
export function isUnit(projector, column) {
  return projector.every((row, i) => Math.abs((row[column] ?? 0) - (i === column ? 1 : 0)) < SAME);
}
