// The face type that a mask's page is narrowed to, as addresses carry it: a cell of the panel, a nose bridge, or both.
import { withAsked } from "./method.js";

/** @typedef {{cell: string, bridge: string}} FaceType "" for any */

/** The face type that the page's address asks for. @returns {FaceType} */
export function faceTypeAsked() {
  const asked = new URLSearchParams(location.search);
  return { cell: asked.get("cell") ?? "", bridge: asked.get("bridge") ?? "" };
}

/** Whether nothing is asked of a face. */
export function isAny(/** @type {FaceType} */ { cell, bridge }) {
  return !cell && !bridge;
}

/**
 * An address that asks for a face type beside all else it asks for.
 * @param {string} address
 * @param {FaceType} type
 */
export function withFaceType(address, { cell, bridge }) {
  return withAsked(withAsked(address, "cell", cell), "bridge", bridge);
}
