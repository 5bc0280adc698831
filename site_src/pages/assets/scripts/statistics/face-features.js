// A face as the features that the model is linear in: step for step what the builder's kernel computes.
import { at } from "./small-matrices.js";

/**
 * @typedef {object} Face What is known of a face: millimetres beat the panel cell, and nothing is any of the panel's.
 * @property {number | null} [length] mm
 * @property {number | null} [width] mm
 * @property {string} [cell] "1" to "10"
 * @property {string} [bridge] "low", "medium" or "high"
 *
 * @typedef {object} Embedding
 * @property {number[]} every turned features, those that all masks share, and the first few, which each mask has
 * @property {number[]} few
 * @property {number} size squared length of the features before the turn, and of the first few
 * @property {number} fewSize
 * @property {number} truncated kernel variance that all features lose, and that the first few lose
 * @property {number} fewTruncated
 * @property {number} bridge height of the nose bridge, 0 where it is not known
 * @property {number} spread variance between the faces that fit what is known
 */

/**
 * The features of a face, averaged over what is not known of it.
 * @param {Published.FaceFeatures} constants
 * @param {Face} face
 * @returns {Embedding}
 */
export function embed(constants, { length, width, cell, bridge }) {
  const plane = length && width ? placed(constants, length, width) : cellOf(constants, cell);
  const profile = constants.bridges[bridge ?? "unknown"] ?? constants.bridges["unknown"];
  if (!plane || !profile) throw new Error("the features of an unknown face are missing");
  const features = constants.plane_of.map((i, k) => at(plane.plane, i) * at(profile.bridge, at(constants.bridge_of, k)));
  const shared = plane.shared * profile.shared;
  const [every, few] = constants.turns.map((turn) => turned(turn, features));
  if (!every || !few) throw new Error("the features cannot be turned");
  const size = squared(features);
  const fewSize = squared(features.slice(0, few.length));
  return {
    every,
    few,
    size,
    fewSize,
    truncated: Math.max(0, shared - size),
    fewTruncated: Math.max(0, shared - fewSize),
    bridge: profile.height,
    spread: Math.max(0, 1 - shared),
  };
}

/** The functions of length and width at one point. */
function placed(/** @type {Published.FaceFeatures} */ constants, /** @type {number} */ length, /** @type {number} */ width) {
  const { origin, per_mm: perMm, nodes, coefficients, length_scale: scale } = constants;
  const x = at(origin, 0) + at(perMm, 0) * length;
  const y = at(origin, 1) + at(perMm, 1) * width;
  const plane = new Array(at(coefficients, 0).length).fill(0);
  nodes.forEach((node, number) => {
    const distance = (x - at(node, 0)) ** 2 + (y - at(node, 1)) ** 2;
    const closeness = Math.exp((-0.5 * distance) / scale ** 2);
    at(coefficients, number).forEach((coefficient, k) => {
      plane[k] += closeness * coefficient;
    });
  });
  return { plane, shared: 1 };
}

function cellOf(/** @type {Published.FaceFeatures} */ constants, /** @type {string | undefined} */ cell) {
  return constants.cells[cell ?? "unknown"] ?? constants.cells["unknown"];
}

function turned(/** @type {Published.Turn} */ { mean, turn }, /** @type {number[]} */ features) {
  const away = mean.map((middle, k) => at(features, k) - middle);
  return turn.map((row) => row.reduce((sum, weight, k) => sum + weight * at(away, k), 0));
}

function squared(/** @type {number[]} */ numbers) {
  return numbers.reduce((sum, number) => sum + number * number, 0);
}
