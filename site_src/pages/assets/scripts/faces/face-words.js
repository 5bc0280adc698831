// Chances and faces in words: each function gives the very text that the builder prints for the same.

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
  const shared = [50, 25, 20, 10, 5].find((divisor) => rounded % divisor === 0 && 100 % divisor === 0);
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
 * @param {{chance: number, little_known: boolean}} row
 */
export function rankedChance(row) {
  return row.little_known ? "little is known" : chanceText(row.chance);
}

/**
 * Whose list it is: the face the reader gave, and how many stand behind its cell.
 * @param {import("./face-state.js").State} state
 * @param {string} place panel cell, "outside" or "unknown"
 * @param {{cells: any[]}} panel
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
 * What is still missing or wrong with what stands in the fields; "" for nothing.
 * @param {{length: string, width: string}} typed
 * @param {(key: string, value: string) => boolean} isAllowed
 * @param {{length: number[], width: number[]}} limits
 */
export function lackWords(typed, isAllowed, limits) {
  const wrong = ["length", "width"].filter((key) => typed[key] !== "" && !isAllowed(key, typed[key]));
  if (wrong.length) {
    const says = wrong.map((key) => `a face ${key} lies between ${limits[key][0]} and ${limits[key][1]} mm`).join(", ");
    return `${says.charAt(0).toUpperCase()}${says.slice(1)}, with one digit after the point at most.`;
  }
  if (typed.length && !typed.width) return "Give the face width too.";
  return typed.width && !typed.length ? "Give the face length too." : "";
}
