// The face that is picked ↔ the address: two inverse functions.

/**
 * @typedef {object} State "" where nothing is given; never two of face, millimetres and cell.
 * @property {string} face "unknown" where the reader says so
 * @property {string} length mm
 * @property {string} width mm
 * @property {string} cell "1" to "10"
 * @property {string} bridge
 * @property {string} masks "all" where changed masks are in the list, "as-sold" where they are left out; so are they by ""
 */

/** @typedef {keyof State} Key */
/** @typedef {{key: string, value: string}} Ignored what an address asks for and fits no face, or is idle */

/** @type {Readonly<State>} */
export const NOTHING = Object.freeze({ face: "", length: "", width: "", cell: "", bridge: "", masks: "" });

/** The keys in the order they have in an address. */
const KEYS = /** @type {Key[]} */ (Object.keys(NOTHING));

/**
 * Reads a query string. Values that are not allowed, and those that a better one makes idle, are left out and named.
 * @param {string} query
 * @param {Published.Panel} panel
 * @returns {{state: State, ignored: Ignored[]}}
 */
export function stateFrom(query, panel) {
  const state = { ...NOTHING };
  /** @type {Ignored[]} */
  const ignored = [];
  for (const [name, value] of new URLSearchParams(query)) {
    const key = KEYS.find((other) => other === name);
    if (!key || value === "") continue;
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
  const given = KEYS.filter((key) => state[key] !== "");
  const query = new URLSearchParams(given.map((key) => [key, state[key]])).toString();
  return query && `?${query}`;
}

/**
 * What else is emptied where one key is filled: millimetres, a cell and "unknown" exclude each other.
 * @param {Key} key
 * @returns {Partial<State>}
 */
export function only(key) {
  if (key === "length" || key === "width") return { face: "", cell: "" };
  if (key === "cell") return { face: "", length: "", width: "" };
  return key === "face" ? { length: "", width: "", cell: "" } : {};
}

/**
 * Whether a value may stand in the address.
 * @param {Key} key
 * @param {string} value
 * @param {Published.Panel} panel
 */
export function allowed(key, value, panel) {
  if (key === "face") return value === "unknown";
  if (key === "masks") return value === "as-sold" || value === "all";
  if (key === "bridge") return ["low", "medium", "high"].includes(value);
  if (key === "cell") return panel.cells.some((cell) => cell.name === value);
  const [low, high] = panel.limits[key];
  return /^\d{2,3}(\.\d)?$/.test(value) && Number(value) >= low && Number(value) <= high;
}

function measured(/** @type {State} */ state) {
  return state.length !== "" || state.width !== "";
}
