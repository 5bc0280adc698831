// Chances and faces in words: each function gives the very text that the builder prints for the same.

export const NOT_LOADED = "Picking a face could not be loaded. The list is the one for any face.";
export const NO_LIST = "The list for this face could not be loaded; the one below is for another.";
export const AS_SOLD_ONLY = " Masks as sold only.";

/**
 * A multiple of 5 %, halves up.
 * @param {number} chance
 */
export function percent(chance) {
  return 5 * Math.floor(20 * chance + 0.5);
}

/**
 * "about 80 %", never as certain.
 * @param {number} chance
 */
export function chanceText(chance) {
  const rounded = percent(chance);
  if (rounded === 0) return "under 5 %";
  return rounded === 100 ? "over 95 %" : `about ${rounded} %`;
}

/**
 * A chance as a count: "4 in 5".
 * @param {number} chance
 */
export function inWords(chance) {
  const rounded = Math.min(95, Math.max(5, percent(chance)));
  const shared = [50, 25, 20, 10].find((divisor) => rounded % divisor === 0) ?? 5;
  return `${rounded / shared} in ${100 / shared}`;
}

/**
 * An interval of chances: "60–90 %"; one figure where both ends round to the same.
 * @param {number} low
 * @param {number} high
 */
export function intervalText(low, high) {
  const ends = [percent(low), percent(high)];
  return ends[0] === ends[1] ? chanceText(low) : `${ends[0]}–${ends[1]} %`;
}

/**
 * The chance of one configuration; nothing is worth saying where its interval is very wide.
 * @param {number} chance
 * @param {boolean} littleKnown
 */
export function rankedChance(chance, littleKnown) {
  return littleKnown ? "little is known" : chanceText(chance);
}

/**
 * Whose list it is: the face the reader gave, and how many stand behind its cell.
 * @param {import("./face-state.js").State} state
 * @param {string} place panel cell, "outside" or "unknown"
 * @param {Published.Panel} panel
 */
export function faceWords(state, place, panel) {
  const bridge = state.bridge ? `, ${state.bridge} nose bridge` : "";
  const size = state.length && state.width ? `${state.length} × ${state.width} mm` : "";
  const anyone = `drawn at random from the panel's population${bridge}`;
  if (place === "outside") {
    return `${size}: the panel has no cell for such a face, so nothing is predicted for it. This is the list for a face ${anyone}.`;
  }
  const cell = panel.cells.find(({ name }) => name === place);
  if (!cell) return `For a face ${anyone}.`;
  const wearers =
    cell.wearers === 0
      ? "Nobody in it has tested yet: the list rests on other faces."
      : `${cell.wearers} ${cell.wearers === 1 ? "wearer" : "wearers"} in it so far.`;
  return `For a face in cell ${place}${size && ` (${size})`}${bridge}: ${cell.share_percent} % of people are in that cell. ${wearers}`;
}

/**
 * Names what of an address was left out; "" for nothing.
 * @param {import("./face-state.js").Ignored[]} ignored
 */
export function leftOutWords(ignored) {
  const left = ignored.map(({ key, value }) => `${key}=${value}`).join(", ");
  return left && `Left out of the address, as it fits no face or something better is given: ${left}.`;
}

/**
 * What is still missing or wrong with what stands in the fields; "" for nothing.
 * @param {{length: string, width: string}} typed
 * @param {(key: "length" | "width", value: string) => boolean} isAllowed
 * @param {Published.Panel["limits"]} limits
 */
export function lackWords(typed, isAllowed, limits) {
  const measures = /** @type {const} */ (["length", "width"]);
  const wrong = measures.filter((key) => typed[key] !== "" && !isAllowed(key, typed[key]));
  if (wrong.length) {
    const says = wrong.map((key) => `a face ${key} lies between ${limits[key][0]} and ${limits[key][1]} mm`).join(", ");
    return `${says.charAt(0).toUpperCase()}${says.slice(1)}, with one digit after the point at most.`;
  }
  if (typed.length && !typed.width) return "Give the face width too.";
  return typed.width && !typed.length ? "Give the face length too." : "";
}
