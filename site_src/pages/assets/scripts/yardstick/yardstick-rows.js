// The rows of the page that measures all by one mask, as the builder writes those by the most tried one.
import { configurationAddress } from "../common/configuration-address.js";
import { html, svg } from "../common/elements.js";
import { between, times } from "../common/figures.js";
import { count, say } from "../common/say.js";
import { scale } from "../common/scale.js";
import { strip } from "../common/strip.js";
import { LANGUAGE } from "../words/language.js";

/**
 * @typedef {Published.YardstickRow} Row
 * @typedef {(id: string) => string} Name of a configuration
 */

/**
 * The cells of a row.
 * @param {Row} row
 * @param {Published.Yardstick} ladder
 * @param {Published.Strip} geometry
 * @param {Name} name
 */
export function cellsOf(row, ladder, geometry, name) {
  const href = configurationAddress(row.configuration);
  return [
    html("th", { scope: "row" }, html("a", { href }, name(row.configuration))),
    html("td", { class: "sb-num" }, html("strong", {}, times(row.ratio))),
    html("td", { class: "sb-picture" }, picture(row, ladder.axis, geometry)),
    html("td", { class: "sb-whole" }, between(row.low, row.high)),
    html("td", {}, directWords(row)),
    html("td", {}, othersWords(row, name)),
  ];
}

/** What the wearers of both tell, and how many they are. */
function directWords(/** @type {Row} */ { steps, wearers, direct }) {
  const [first = 0] = wearers;
  if (steps.length) return LANGUAGE.number.none;
  const who = count("wearer", first);
  return direct === null ? who : say("chart.part_row", { ratio: times(direct), wearers: who });
}

/** What all others tell: a ratio, or the chain that leads there with the wearers behind each link. */
function othersWords(/** @type {Row} */ row, /** @type {Name} */ name) {
  if (row.steps.length) {
    const steps = [...row.steps, row.configuration].map((id, place) =>
      say("yardstick.step", { configuration: name(id), wearers: count("wearer", row.wearers[place] ?? 0) }),
    );
    return say("yardstick.chain", { steps: steps.join(" → ") });
  }
  return row.disagree ? say("yardstick.disagree", { ratio: times(row.indirect) }) : times(row.indirect);
}

/**
 * The small picture of a ratio: that of fit factors, on an axis that begins at its low end.
 * @param {Row} row
 * @param {[number, number]} axis
 * @param {Published.Strip} geometry
 */
function picture({ low, ratio, high }, [from, to], geometry) {
  if (low === null || ratio === null || high === null) return null;
  const shown = (/** @type {number} */ value) => Math.min(value, to) / from;
  const figures = {
    lowest_fit_factor: shown(low),
    median_fit_factor: shown(ratio),
    highest_fit_factor: shown(high),
    median_at_least: false,
    highest_at_least: false,
  };
  return strip(figures, { ...geometry, top: to / from, mark: 1 / from });
}

/**
 * The labels above the column of small pictures.
 * @param {Published.Yardstick} ladder
 * @param {Published.Strip} geometry
 */
export function ticksOf({ axis: [from, to], ticks }, { width, margin }) {
  const x = scale(to, width, margin, from);
  const texts = ticks.map((tick) => {
    const css = tick === 1 ? { class: "sb-ticks__pass" } : {};
    return svg("text", { x: x(tick), y: 11, "text-anchor": "middle", ...css }, times(tick));
  });
  return svg("svg", { class: "sb-ticks", viewBox: `0 0 ${width} 14`, "aria-hidden": "true" }, ...texts);
}
