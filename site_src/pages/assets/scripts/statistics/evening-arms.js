// The takes of one evening as arms: one face, one mask, one method, with the scatter of the database's donnings.

/**
 * @typedef {{configuration: string, fitFactor: number, atLeast: boolean}} Reading a take that counts
 *
 * @typedef {object} Known what the database says of the scatter between donnings
 * @property {Published.Scatter} scatter
 * @property {Published.WearerScatter} wearer of this wearer, or of one without repeats
 */

/**
 * The arm of each configuration, in the order of their first takes: builder/fit/compare/measured_arms.py.
 * @param {Reading[]} readings
 * @param {Known} known
 * @param {{wearer: string, facial_hair: string, method: Published.Method}} measured
 * @returns {(import("./contrasts.js").WornArm & {configuration: string})[]}
 */
export function eveningArms(readings, known, measured) {
  const configurations = [...new Set(readings.map((one) => one.configuration))];
  return configurations.map((configuration) => {
    const own = readings.filter((one) => one.configuration === configuration);
    const logs = (/** @type {boolean} */ limits) =>
      own.filter(({ atLeast }) => atLeast === limits).map(({ fitFactor }) => Math.log(fitFactor));
    const [exact, limits] = [logs(false), logs(true)];
    // An arm with a limit scatters more than what is left of it below the ceiling shows.
    const df = limits.length ? 0 : exact.length - 1;
    const mean = exact.reduce((sum, y) => sum + y, 0) / (exact.length || 1);
    const squares = exact.reduce((sum, y) => sum + (y - mean) ** 2, 0);
    const kept = 1 / (1 + df / known.scatter.arm_df);
    const moderated = kept * known.wearer.variance + (df ? ((1 - kept) * squares) / df : 0);
    return { configuration, n: exact.length, mean, limits, moderated, df, wearer_df: known.wearer.df, ...measured };
  });
}
