// The published columns as configurations, and what was measured of each.
import { rowsFromColumns } from "../common/columns.js";
import { idOf } from "../common/method.js";
import { say } from "../common/say.js";

/**
 * @typedef {import("../statistics/contrasts.js").WornArm} WornArm
 * @typedef {{arms: WornArm[], tests: Published.Donning[], figures: Published.Spread}} Measured
 * @typedef {Measured & {byMethod: Map<string, Published.Spread>}} Whole what was measured by any method
 * @typedef {Measured & {configuration: Configuration}} Shown a configuration with what was measured of it
 *
 * @typedef {object} Configuration
 * @property {string} id
 * @property {string} mask
 * @property {string} maskLabel
 * @property {string} change "as sold" or the changed parts
 * @property {string} kinds style, class and changed slots, in words
 * @property {boolean} sold whether nothing is changed
 * @property {string} label
 * @property {Set<number>} wearers as numbers of this list
 * @property {boolean} paged whether it has a page beside its mask as sold or, sold itself, beside the reference
 */

/**
 * Joins the published columns.
 * @param {Published.Comparables["configurations"]} columns
 * @returns {Configuration[]}
 */
export function configurationsFrom(columns) {
  return rowsFromColumns(columns).map(({ id, mask, mask_label: maskLabel, change, kinds, wearers, paged }) => ({
    id,
    mask,
    maskLabel,
    change,
    kinds,
    sold: id === mask,
    label: say("label.configuration", { mask: maskLabel, change }),
    wearers: new Set(wearers),
    paged: paged === 1,
  }));
}

/**
 * What was measured of each configuration of one mask, by its id.
 * @param {Published.MaskMeasured} published
 * @returns {Map<string, Whole>}
 */
export function measuredFrom({ arms, tests, figures, method_figures: methodFigures }) {
  /** @type {Map<string, Whole>} */
  const measured = new Map(
    rowsFromColumns(figures).map((row) => [
      row.configuration,
      { arms: [], tests: [], figures: row, byMethod: new Map() },
    ]),
  );
  for (const row of rowsFromColumns(methodFigures)) measured.get(row.configuration)?.byMethod.set(row.method, row);
  for (const arm of rowsFromColumns(arms)) {
    measured.get(arm.configuration)?.arms.push(arm);
  }
  for (const test of rowsFromColumns(tests)) measured.get(test.configuration)?.tests.push(test);
  return measured;
}

/**
 * What was measured by one method, "" for any; undefined where nothing was.
 * @param {Whole} whole
 * @param {string} method
 * @returns {Measured | undefined}
 */
export function measuredBy(whole, method) {
  const tests = whole.tests.filter((test) => test.method === method);
  if (!method || tests.length === whole.tests.length) return whole;
  const figures = whole.byMethod.get(method);
  return figures && { arms: whole.arms.filter((arm) => idOf(arm.method) === method), tests, figures };
}
