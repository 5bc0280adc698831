// What readers keep of themselves on their own device, and only there, when they ask for it.

const KEY = "sealbook-face";

/**
 * @typedef {object} KeptFace "" where nothing is given
 * @property {string} length mm
 * @property {string} width mm
 * @property {string} cell
 * @property {string} bridge
 * @property {string[]} own how masks did, as texts
 */

/**
 * What is kept; null for nothing, and where the browser keeps nothing. What does not look like it is nothing too.
 * @returns {KeptFace | null}
 */
export function keptFace() {
  try {
    const kept = /** @type {unknown} */ (JSON.parse(localStorage.getItem(KEY) ?? "null"));
    if (typeof kept !== "object" || kept === null) return null;
    const text = (/** @type {string} */ name) => {
      const value = Object.entries(kept).find(([key]) => key === name)?.[1];
      return typeof value === "string" ? value : "";
    };
    const own = "own" in kept && Array.isArray(kept.own) ? kept.own.filter((one) => typeof one === "string") : [];
    return { length: text("length"), width: text("width"), cell: text("cell"), bridge: text("bridge"), own };
  } catch {
    return null;
  }
}

/**
 * Keeps a face; says whether the browser did.
 * @param {KeptFace} face
 */
export function keepFace(face) {
  try {
    localStorage.setItem(KEY, JSON.stringify(face));
    return true;
  } catch {
    return false;
  }
}

/** Removes what was kept. */
export function forgetFace() {
  try {
    localStorage.removeItem(KEY);
  } catch {
    // Where nothing can be kept, nothing is.
  }
}
