// The panel of faces, as the builder's own cell_of has it.

/**
 * The panel cell of a face in mm: "1" to "10", or "outside". A face on a limit belongs to the cell above it, at the
 * panel's outer edge to the cell below: cells are numbered upwards, and the last that holds the face wins.
 * @param {number} length
 * @param {number} width
 * @param {Published.Cell[]} cells
 */
export function cellOf(length, width, cells) {
  const holding = cells.filter(
    (cell) =>
      length >= cell.length_low && length <= cell.length_high && width >= cell.width_low && width <= cell.width_high,
  );
  return holding.at(-1)?.name ?? "outside";
}

/**
 * Whether a face is shorter or narrower than any of the panel's.
 * @param {number} length
 * @param {number} width
 * @param {{length: number, width: number}} least
 */
export function isSmall(length, width, least) {
  return length < least.length || width < least.width;
}
