// The published columns as configurations, and what was measured of each.
import { rowsFromColumns } from "../common/columns.js";
import { say } from "../common/say.js";

/**
 * @typedef {import("../statistics/contrasts.js").WornArm} WornArm
 * @typedef {{arms: WornArm[], tests: Published.Donning[], figures: Published.Spread}} Measured
 * @typedef {Measured & {configuration: Configuration}} Shown a configuration with what was measured of it
 *
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
 * @param {Published.Comparables["configurations"]} columns
 * @returns {Configuration[]}
 */
export function configurationsFrom(columns) {
  return rowsFromColumns(columns).map(({ id, mask, mask_label: maskLabel, change, wearers }) => ({
    id,
    mask,
    maskLabel,
    change,
    sold: id === mask,
    label: say("label.configuration", { mask: maskLabel, change }),
    wearers: new Set(wearers),
  }));
}

/**
 * What was measured of each configuration of one mask, by its id.
 * @param {Published.MaskMeasured} published
 * @returns {Map<string, Measured>}
 */
export function measuredFrom({ arms, tests, figures }) {
  /** @type {Map<string, Measured>} */
  const measured = new Map(
    rowsFromColumns(figures).map((row) => [row.configuration, { arms: [], tests: [], figures: row }]),
  );
  for (const arm of rowsFromColumns(arms)) {
    measured.get(arm.configuration)?.arms.push(arm);
  }
  for (const test of rowsFromColumns(tests)) measured.get(test.configuration)?.tests.push(test);
  return measured;
}
