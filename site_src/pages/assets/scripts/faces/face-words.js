// Chances and faces in words: each function gives the very text that the builder prints for the same.
import { chanceText, percent, STEP } from "../common/chances.js";
import { count, say } from "../common/say.js";

/**
 * A chance as a count: "4 in 5".
 * @param {number} chance
 */
export function inWords(chance) {
  const rounded = Math.min(100 - STEP, Math.max(STEP, percent(chance)));
  const shared = [50, 25, 20, 10].find((divisor) => rounded % divisor === 0) ?? STEP;
  return say("chance.odds", { part: rounded / shared, whole: 100 / shared });
}

/**
 * A chance as halves of ten people, 1 to 19: never none or all of them.
 * @param {number} chance
 */
export function halvesOfTen(chance) {
  return Math.min(100 - STEP, Math.max(STEP, percent(chance))) / STEP;
}

/**
 * A chance of ten people: "7 of 10 people like you", never none or all of them.
 * @param {number} chance
 */
export function ofTen(chance) {
  const halves = halvesOfTen(chance);
  if (halves === 1) return say("chance.tenth_under");
  if (halves === 19) return say("chance.tenth_over");
  const low = Math.floor(halves / 2);
  return halves % 2 ? say("chance.tenths_between", { low, high: low + 1 }) : say("chance.tenths", { tenths: low });
}

/**
 * An interval of chances: "60–90 %"; one figure where both ends round to the same.
 * @param {number} low
 * @param {number} high
 */
export function intervalText(low, high) {
  const ends = { low: percent(low), high: percent(high) };
  return ends.low === ends.high ? chanceText(low) : say("figure.percents", ends);
}

/**
 * The chance of one configuration; nothing is worth saying where its interval is very wide.
 * @param {number} chance
 * @param {boolean} littleKnown
 */
export function rankedChance(chance, littleKnown) {
  return littleKnown ? say("chance.little_known") : chanceText(chance);
}

/**
 * Whose list it is: the face the reader gave, and how many stand behind its cell.
 * @param {import("./face-state.js").State} state
 * @param {string} place panel cell, "outside" or "unknown"
 * @param {Published.Panel} panel
 */
export function faceWords(state, place, panel) {
  const { length, width, bridge } = state;
  const size = length && width ? say("face.size", { length: Number(length), width: Number(width) }) : "";
  const withBridge = (/** @type {string} */ face) => (bridge ? say("face.with_bridge", { face, bridge }) : face);
  const anyone = withBridge(say("face.anyone"));
  if (place === "outside") return say("face.outside", { size, face: anyone });
  const cell = panel.cells.find(({ name }) => name === place);
  if (!cell) return say("face.list_for", { face: anyone });
  const inCell = size ? say("face.in_cell_of_size", { cell: place, size }) : say("face.in_cell", { cell: place });
  const known = cell.wearers ? say("face.so_far", { wearers: count("wearer", cell.wearers) }) : say("face.nobody");
  return say("face.list_for_cell", { face: withBridge(inCell), share: cell.share_percent, known });
}

/**
 * The face alone, as far as it was given.
 * @param {import("./face-state.js").State} state
 */
export function briefFace({ length, width, cell, bridge }) {
  const size = length && width ? say("face.size", { length: Number(length), width: Number(width) }) : "";
  const face = size || (cell ? say("face.in_cell", { cell }) : say("face.anyone"));
  return bridge ? say("face.with_bridge", { face, bridge }) : face;
}

/**
 * Why there is no list for a face below the panel's limits.
 * @param {import("./face-state.js").State} state
 * @param {{length: number, width: number}} least
 */
export function smallWords({ length, width }, least) {
  const size = say("face.size", { length: Number(length), width: Number(width) });
  return say("face.small", { size, length: least.length, width: least.width });
}

/**
 * Names what of an address was left out; "" for nothing.
 * @param {import("./face-state.js").Ignored[]} ignored
 */
export function leftOutWords(ignored) {
  const left = ignored.map(({ key, value }) => `${key}=${value}`).join(", ");
  return left && say("face.left_out", { left });
}

/**
 * What is still missing or wrong with what stands in the fields; "" for nothing.
 * @param {{length: string, width: string}} typed
 * @param {(key: "length" | "width", value: string) => boolean} isAllowed
 * @param {Published.Panel["limits"]} limits
 */
export function lackWords(typed, isAllowed, limits) {
  const wrong = (/** @type {"length" | "width"} */ key) => typed[key] !== "" && !isAllowed(key, typed[key]);
  const limitsOf = (/** @type {"length" | "width"} */ key) => ({ low: limits[key][0], high: limits[key][1] });
  const says = [
    wrong("length") && say("face.length_limits", limitsOf("length")),
    wrong("width") && say("face.width_limits", limitsOf("width")),
  ].filter(Boolean);
  if (says.length) {
    const said = say("face.limits", { limits: says.join(", ") });
    return `${said.charAt(0).toUpperCase()}${said.slice(1)}`;
  }
  if (typed.length && !typed.width) return say("face.give_width");
  return typed.width && !typed.length ? say("face.give_length") : "";
}
