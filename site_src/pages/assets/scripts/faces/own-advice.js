// What to try on a reader's face, worked out in the browser: the same that `sealbook suggest` lists.
import { near, triedBy } from "../common/people.js";
import { say } from "../common/say.js";
import { inform } from "../statistics/own-results.js";
import { at } from "../statistics/small-matrices.js";
import { telling, tryFirst } from "../statistics/try-first.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("../statistics/face-model.js").Model} Model
 * @typedef {import("../statistics/own-results.js").Told} Told
 * @typedef {import("../common/people.js").People} People
 * @typedef {import("../common/people.js").Place} Place
 *
 * @typedef {Omit<Published.Advised, "share_at_100"> & {before?: number}} Row `before` is the chance before anything was told
 *
 * @typedef {Omit<Published.Advice, "first" | "best_as_sold" | "best_changed" | "ranked"> & {
 *   first: (Row & {cumulative_chance: number | null})[],
 *   best_as_sold: Row | null,
 *   best_changed: Row | null,
 *   ranked: Row[],
 *   telling?: Row | null,
 *   told?: string[],
 *   place?: "cell" | "face",
 * }} Advice `telling` is the row in which one more fit factor would tell most, `told` names what was told of
 *
 * @typedef {object} Asked
 * @property {import("../statistics/face-model.js").Face} face
 * @property {Place | null} place
 * @property {boolean} outside whether the panel has no cell for the reader's face, so that it is any face
 * @property {Told[]} told
 * @property {boolean} asSold whether changed masks are left out
 */

/** Rows of a ranked list on a page, as many as the builder's. */
export const LONGEST_LIST = 60;

/**
 * @param {Model} model
 * @param {People} people
 * @param {Published.People} published
 * @param {Asked} asked
 * @returns {Advice}
 */
export function adviceOn(model, people, published, { face, place, outside, told, asSold }) {
  const informed = inform(model, face, told);
  const anyone = !place && !face.bridge && told.length === 0;
  const around = place ? near(people.wearers, place) : [];
  const rows = people.configurations.map((one, number) => {
    const c = model.number.get(one.id);
    if (c === undefined) throw new Error(`${one.id}: the model does not have it`);
    const low = (anyone ? one.low : null) ?? at(informed.low, c);
    const high = (anyone ? one.high : null) ?? at(informed.high, c);
    return {
      configuration: one.id,
      label: one.label,
      changed: one.id.includes("+"),
      medical: one.medical === 1,
      chance: at(informed.chance, c),
      low,
      high,
      wearers: one.wearers,
      near_wearers: place ? triedBy(around, number).wearers : null,
      little_known: high - low > LEVELS.little_known,
      fit_factor: at(informed.fitFactor, c),
      share_wearers: one.share_wearers,
      reached: one.reached,
      ...(told.length ? { before: at(informed.before, c) } : {}),
      c,
    };
  });
  const ranked = rows.sort((a, b) => b.low - a.low || b.chance - a.chance || (a.configuration < b.configuration ? -1 : 1));
  const shown = ranked.filter(({ changed }) => !asSold || !changed);
  const byPlace = new Map(shown.map((row) => [row.c, row]));
  const known = new Set(told.map(({ configuration }) => configuration));
  const untold = shown.filter(({ configuration }) => !known.has(configuration));
  const values = told.length || place ? telling(informed, untold.map(({ c }) => c)) : [];
  return {
    basis: "model",
    why: outside ? `${say("prediction.outside")} ${published.why}` : published.why,
    check: asSold ? "" : published.check,
    own_check: published.own_check,
    first: tryFirst(informed, shown.map(({ c }) => c)).flatMap(({ place: c, soFar }) => {
      const row = byPlace.get(c);
      return row ? [{ ...row, cumulative_chance: soFar }] : [];
    }),
    best_as_sold: ranked.find(({ changed }) => !changed) ?? null,
    best_changed: ranked.find(({ changed }) => changed) ?? null,
    ranked: shown.slice(0, LONGEST_LIST),
    more: Math.max(0, shown.length - LONGEST_LIST),
    telling: values.length ? (untold[values.indexOf(Math.max(...values))] ?? null) : null,
    place: "length" in face && face.length ? "face" : "cell",
  };
}
