// The face that is picked ↔ the address: two inverse functions. And the panel cell of a face.

/**
 * @typedef {object} State "" where nothing is given; never two of face, millimetres and cell.
 * @property {string} face "unknown" where the reader says so
 * @property {string} length mm
 * @property {string} width mm
 * @property {string} cell "1" to "10"
 * @property {string} bridge
 * @property {string} masks "as-sold" where changed masks are left out
 */

/** @type {Readonly<State>} */
export const NOTHING = Object.freeze({ face: "", length: "", width: "", cell: "", bridge: "", masks: "" });

/**
 * Reads a query string. Values that are not allowed, and those that a better one makes idle, are left out and named.
 * @param {string} query
 * @param {{cells: {name: string}[], limits: {length: number[], width: number[]}}} panel
 * @returns {{state: State, ignored: {key: string, value: string}[]}}
 */
export function stateFrom(query, panel) {
  const state = { ...NOTHING };
  const ignored = [];
  for (const [key, value] of new URLSearchParams(query)) {
    if (!Object.hasOwn(NOTHING, key) || value === "") continue;
    const idle = (key === "cell" && measured(state)) || (key === "face" && (measured(state) || state.cell));
    if (idle || !allowed(key, value, panel)) ignored.push({ key, value });
    else Object.assign(state, only(key), { [key]: value });
  }
  return { state, ignored };
}

/**
 * Writes the query string of a state, "" for nothing; the keys always come in the same order.
 * @param {State} state
 */
export function queryOf(state) {
  const given = Object.keys(NOTHING).filter((key) => state[key] !== "");
  const query = new URLSearchParams(given.map((key) => [key, state[key]])).toString();
  return query && `?${query}`;
}

/**
 * What else is emptied where one key is filled: millimetres, a cell and "unknown" exclude each other.
 * @param {string} key
 * @returns {Partial<State>}
 */
export function only(key) {
  if (key === "length" || key === "width") return { face: "", cell: "" };
  if (key === "cell") return { face: "", length: "", width: "" };
  return key === "face" ? { length: "", width: "", cell: "" } : {};
}

/**
 * Whether a value may stand in the address.
 * @param {string} key
 * @param {string} value
 * @param {{cells: {name: string}[], limits: {length: number[], width: number[]}}} panel
 */
export function allowed(key, value, panel) {
  if (key === "face") return value === "unknown";
  if (key === "masks") return value === "as-sold";
  if (key === "bridge") return ["low", "medium", "high"].includes(value);
  if (key === "cell") return panel.cells.some((cell) => cell.name === value);
  const [low, high] = panel.limits[key];
  return /^\d{2,3}(\.\d)?$/.test(value) && Number(value) >= low && Number(value) <= high;
}

/**
 * The panel cell of a face in mm: "1" to "10", or "outside". A face on a limit belongs to the cell above it, at the
 * panel's outer edge to the cell below: cells are numbered upwards, and the last that holds the face wins.
 * @param {number} length
 * @param {number} width
 * @param {{name: string, length_low: number, length_high: number, width_low: number, width_high: number}[]} cells
 */
export function cellOf(length, width, cells) {
  const holding = cells.filter(
    (cell) => length >= cell.length_low && length <= cell.length_high && width >= cell.width_low && width <= cell.width_high,
  );
  return holding.at(-1)?.name ?? "outside";
}

function measured(/** @type {State} */ state) {
  return state.length !== "" || state.width !== "";
}
