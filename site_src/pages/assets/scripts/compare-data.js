// The published columns as configurations with their arms, and their tests.
import { summarise } from "./summary.js";

/**
 * @typedef {import("./contrasts.js").WornArm} WornArm
 * @typedef {{value: number, atLeast: boolean, wearer: string, counted: true}} Test
 * @typedef {object} Configuration
 * @property {number} index
 * @property {string} id
 * @property {string} mask
 * @property {string} maskLabel
 * @property {string} change "as sold" or the changed parts
 * @property {boolean} sold whether nothing is changed
 * @property {string} label
 * @property {WornArm[]} arms
 * @property {Set<string>} wearers
 */

/**
 * Joins the published columns.
 * @param {Record<string, any>} published
 * @returns {Configuration[]}
 */
export function configurationsFrom({ configurations, arms, wearers }) {
  const joined = configurations.id.map((id, index) => {
    const [mask, maskLabel, change] = [configurations.mask, configurations.mask_label, configurations.change].map(
      (column) => column[index],
    );
    const sold = id === mask;
    return { index, id, mask, maskLabel, change, sold, label: `${maskLabel}, ${change}`, arms: [], wearers: new Set() };
  });
  for (const [i, configuration] of arms.configuration.entries()) {
    const wearer = wearers[arms.wearer[i]];
    joined[configuration].wearers.add(wearer);
    joined[configuration].arms.push({
      wearer,
      facial_hair: arms.facial_hair[i],
      n: arms.n[i],
      mean: arms.mean[i],
      variance: arms.variance[i],
      df: arms.df[i],
      any_at_least: arms.any_at_least[i] === 1,
    });
  }
  return joined;
}

/**
 * The tests of each of some configurations, with their figures.
 * @param {Record<string, any>} tests the published columns of tests
 * @param {string[]} wearers
 * @param {Configuration[]} chosen
 */
export function withTests(tests, wearers, chosen) {
  const rows = new Map(chosen.map((configuration) => [configuration.index, { configuration, tests: [] }]));
  for (const [i, configuration] of tests.configuration.entries()) {
    rows.get(configuration)?.tests.push({
      value: tests.fit_factor[i],
      atLeast: tests.at_least[i] === 1,
      wearer: wearers[tests.wearer[i]],
      counted: true,
    });
  }
  return [...rows.values()].map((row) => ({ ...row, figures: summarise(row.tests) }));
}
