// What to try where there is no model: ranked by what the people nearest measured, or everybody where nobody is near.
import { near } from "../common/people.js";
import { say } from "../common/say.js";
import { summaryOf } from "../statistics/summaries.js";
import { LONGEST_LIST } from "./own-advice.js";

/**
 * @typedef {import("../common/people.js").People} People
 * @typedef {import("../common/people.js").Place} Place
 */

/** Figures of fewer wearers say little. */
const FEW = 3;

/**
 * @param {People} people
 * @param {Published.People} published
 * @param {{place: Place | null, measured: boolean, bridge: string, outside: boolean, asSold: boolean}} asked
 * @returns {import("./own-advice.js").Advice}
 */
export function nearAdvice(people, published, { place, measured, bridge, outside, asSold }) {
  const around = place ? near(people.wearers, place, bridge) : [];
  const whose = around.length ? around : people.wearers;
  const rows = people.configurations.flatMap((one, number) => {
    const readings = whose.flatMap((wearer) => (wearer.readings.has(number) ? [wearer.readings.get(number) ?? []] : []));
    if (!readings.length) return [];
    const figures = summaryOf(readings);
    const { share_at_100: share, share_wearers: known } = figures;
    return {
      configuration: one.id,
      label: one.label,
      changed: one.id.includes("+"),
      medical: one.medical === 1,
      chance: null,
      low: null,
      high: null,
      wearers: one.wearers,
      near_wearers: place ? (around.length ? readings.length : 0) : null,
      little_known: readings.length < FEW,
      fit_factor: figures.wearer_median_fit_factor,
      share_wearers: known,
      reached: share === null ? null : Math.round(share * known),
      lowest: figures.share_at_100_low ?? -1,
    };
  });
  const ranked = rows.sort(
    (a, b) => b.lowest - a.lowest || (b.fit_factor ?? 0) - (a.fit_factor ?? 0) || (a.configuration < b.configuration ? -1 : 1),
  );
  const shown = ranked.filter(({ changed }) => !asSold || !changed);
  const why = around.length ? published.why_near[measured ? "face" : "cell"] : published.why;
  return {
    basis: "summaries",
    why: outside ? `${say("prediction.outside")} ${why}` : why,
    check: "",
    own_check: "",
    first: shown.slice(0, 3).map((row) => ({ ...row, cumulative_chance: null })),
    best_as_sold: ranked.find(({ changed }) => !changed) ?? null,
    best_changed: ranked.find(({ changed }) => changed) ?? null,
    ranked: shown.slice(0, LONGEST_LIST),
    more: Math.max(0, shown.length - LONGEST_LIST),
    place: measured ? "face" : "cell",
  };
}
