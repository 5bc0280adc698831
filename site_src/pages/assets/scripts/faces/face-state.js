// The reader's face ↔ the query string of a link: two inverse functions.

/**
 * @typedef {object} State "" where nothing is given; never both millimetres and a cell.
 * @property {string} length mm
 * @property {string} width mm
 * @property {string} cell "1" to "10"
 * @property {string} bridge
 * @property {string} masks "all" where changed masks are in the list, "" where they are left out
 * @property {string[]} own how masks did, as texts
 */

/** @typedef {Exclude<keyof State, "own">} Key */
/** @typedef {{key: string, value: string}} Ignored what an address asks for and fits no face, or is idle */

/** @type {Readonly<State>} */
export const NOTHING = Object.freeze({ length: "", width: "", cell: "", bridge: "", masks: "", own: [] });

/** The keys in the order they have in an address. */
const KEYS = /** @type {Key[]} */ (Object.keys(NOTHING).filter((key) => key !== "own"));

/**
 * Reads a query string. Values that are not allowed, and those that a better one makes idle, are left out and named.
 * What was told is taken as it stands: its reader knows the masks.
 * @param {string} query
 * @param {Published.Panel} panel
 * @returns {{state: State, ignored: Ignored[]}}
 */
export function stateFrom(query, panel) {
  const state = { ...NOTHING };
  /** @type {Ignored[]} */
  const ignored = [];
  for (const [name, value] of new URLSearchParams(query)) {
    // No id holds a space: one stands for a "+" that was written as it is.
    if (name === "own" && value) state.own = [...state.own, value.replaceAll(" ", "+")];
    const key = KEYS.find((other) => other === name);
    if (!key || value === "" || (key === "masks" && value === "as-sold")) continue;
    const idle = key === "cell" && measured(state);
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
  const given = KEYS.filter((key) => state[key] !== "").map((key) => [key, state[key]]);
  const query = new URLSearchParams([...given, ...state.own.map((text) => ["own", text])]).toString();
  return query && `?${query}`;
}

/**
 * What else is emptied where one key is filled: millimetres and a cell exclude each other.
 * @param {Key} key
 * @returns {Partial<State>}
 */
export function only(key) {
  if (key === "length" || key === "width") return { cell: "" };
  return key === "cell" ? { length: "", width: "" } : {};
}

/**
 * Whether a value may stand in the address.
 * @param {Key} key
 * @param {string} value
 * @param {Published.Panel} panel
 */
export function allowed(key, value, panel) {
  if (key === "masks") return value === "all";
  if (key === "bridge") return ["low", "medium", "high"].includes(value);
  if (key === "cell") return panel.cells.some((cell) => cell.name === value);
  const [low, high] = panel.limits[key];
  return /^\d{2,3}(\.\d)?$/.test(value) && Number(value) >= low && Number(value) <= high;
}

function measured(/** @type {State} */ state) {
  return state.length !== "" || state.width !== "";
}
