// Comparisons worked out beside the page: with hundreds of wearers one takes a phone long, and the page answers meanwhile.

/**
 * @typedef {import("../statistics/contrasts.js").Comparison} Comparison
 * @typedef {import("../statistics/contrasts.js").WornArm} WornArm
 */

export class Comparisons {
  /** @param {Published.Basis} basis */
  constructor({ scatter, methods }) {
    this.basis = { scatter, methods };
    /** @type {Map<number, {resolve: (found: Comparison) => void, reject: (error: Error) => void}>} */
    this.waiting = new Map();
    this.asked = 0;
    this.worker = new Worker(new URL("comparing.js", import.meta.url), { type: "module" });
    this.worker.addEventListener("message", ({ data: { id, found } }) => {
      this.waiting.get(id)?.resolve(found);
      this.waiting.delete(id);
    });
    this.worker.addEventListener("error", ({ message }) => {
      for (const { reject } of this.waiting.values()) reject(new Error(message));
      this.waiting.clear();
    });
  }

  /**
   * Compares as `compareArms` does.
   * @param {WornArm[]} a
   * @param {WornArm[]} b
   * @returns {Promise<Comparison>}
   */
  compare(a, b) {
    this.asked += 1;
    const id = this.asked;
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { resolve, reject });
      this.worker.postMessage({ id, a, b, basis: this.basis });
    });
  }
}
