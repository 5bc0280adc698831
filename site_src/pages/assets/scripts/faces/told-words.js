// What a reader told, said back: each function gives the very text that the builder prints for the same.
import { figure } from "../common/figures.js";
import { count, plain, say, within } from "../common/say.js";
import { LANGUAGE } from "../words/language.js";
import { LEVELS } from "../words/levels.js";
import { figureOf } from "./told-texts.js";

/** @typedef {import("./told-texts.js").Line} Line */

/**
 * What came out with a mask, and how far such an answer can be trusted; "" for a line that does not say it yet.
 * @param {string} mask
 * @param {Line} line
 * @param {{worth: Published.OwnResultWorth, how: string}} known how it was measured, "" where as chances are stated for
 */
export function lineWords(mask, { outcome, figure: typed, kind }, { worth, how }) {
  if (outcome === "") return "";
  if (outcome === "leaks") return say("own.leaks", { mask });
  if (outcome === "fit-factor" || outcome === "at-least") {
    const value = figureOf(typed);
    if (value === null) return typed.trim() === "" ? "" : say("own.no_figure", { low: LEVELS.least_told, high: figure(LEVELS.most_told) });
    const said = say(outcome === "fit-factor" ? "own.fit_factor" : "own.at_least", { mask, figure: figure(value) });
    return how ? `${say("own.measured", { said: said.replace(/\.$/, ""), how })}.` : said;
  }
  const test = worth.kinds[kind];
  const wrong = (outcome === "passed" ? test?.wrong_passes : test?.wrong_fails) ?? 0;
  if (!wrong) return say(outcome === "passed" ? "own.passed" : "own.failed", { mask });
  const share = LANGUAGE.number.percent.replace("{percent}", plain(Number((100 * wrong).toPrecision(6))));
  const values = { mask, kind: say(`own.kind.${kind}`), wrong: share };
  return say(outcome === "passed" ? "own.passed_by" : "own.failed_by", values);
}

/** A mask that is not in the database: by its style, and its class where that is known. */
export function otherMask(/** @type {string} */ style, /** @type {string} */ maskClass) {
  const name = within(style);
  return maskClass ? say("own.other_mask_of_class", { style: name, mask_class: maskClass }) : say("own.other_mask", { style: name });
}

/**
 * How far a chance moved, in points of percent as they are printed.
 * @param {number} points
 * @param {string[]} masks that something was told of
 */
export function movedWords(points, masks) {
  const [only] = masks;
  const told = masks.length === 1 && only ? only : count("own_result", masks.length);
  if (points === 0) return say("own.unmoved", { told });
  return points > 0 ? say("own.moved_up", { points, told }) : say("own.moved_down", { points: -points, told });
}
