// The published columns as configurations, and what was measured of each.

/**
 * @typedef {import("../statistics/contrasts.js").WornArm} WornArm
 * @typedef {{value: number, atLeast: boolean, wearer: string, counted: true}} Test
 * @typedef {{arms: WornArm[], tests: Test[]}} Measured
 * @typedef {object} Configuration
 * @property {string} id
 * @property {string} mask
 * @property {string} maskLabel
 * @property {string} change "as sold" or the changed parts
 * @property {boolean} sold whether nothing is changed
 * @property {string} label
 * @property {Set<number>} wearers as numbers of this list
 */

/**
 * Joins the published columns.
 * @param {Record<string, any[]>} columns
 * @returns {Configuration[]}
 */
export function configurationsFrom({ id, mask, mask_label, change, wearers }) {
  return id.map((own, index) => ({
    id: own,
    mask: mask[index],
    maskLabel: mask_label[index],
    change: change[index],
    sold: own === mask[index],
    label: `${mask_label[index]}, ${change[index]}`,
    wearers: new Set(wearers[index]),
  }));
}

/**
 * What was measured of each configuration of one mask, by its id.
 * @param {Record<string, any>} published the file of that mask
 * @returns {Map<string, Measured>}
 */
export function measuredFrom({ arms, tests }) {
  const measured = new Map(arms.configuration.map((id) => [id, { arms: [], tests: [] }]));
  for (const [i, id] of arms.configuration.entries()) {
    measured.get(id).arms.push({
      wearer: arms.wearer[i],
      facial_hair: arms.facial_hair[i],
      n: arms.n[i],
      mean: arms.mean[i],
      variance: arms.variance[i],
      df: arms.df[i],
      any_at_least: arms.any_at_least[i] === 1,
    });
  }
  for (const [i, id] of tests.configuration.entries()) {
    measured.get(id).tests.push({
      value: tests.fit_factor[i],
      atLeast: tests.at_least[i] === 1,
      wearer: tests.wearer[i],
      counted: true,
    });
  }
  return measured;
}
