// Which part of a change did it, on one wearer and one mask: builder/fit/compare/factorial.py for one method of
// measuring.
import { studentBelow, studentQuantile } from "./distributions.js";
import { identity, inverse, LinearFit } from "./linear.js";
import { AveragedArms, pairWeights } from "./shrunk-arms.js";
import { matrix } from "./small-matrices.js";
import { holm } from "./verdicts.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./like-with-like.js").Arm & {configuration: string}} Arm
 * @typedef {{ratio: number, low95: number, high95: number, p_value: number}} Effect
 * @typedef {{slot: string, part: string, against: string, effect: Effect | null, aliases: string[]}} MainEffect
 *   What a part does against another ("" is as sold); without an effect where these arms cannot tell it from `aliases`.
 * @typedef {{part: string, other: string, effect: Effect}} Interaction
 * @typedef {{part: string, other: string, apart: Effect, together: Effect}} Conditional
 *
 * @typedef {object} Factorial
 * @property {string[]} configurations
 * @property {string[]} leftOut those that hold "at least" readings
 * @property {boolean} complete whether each combination of the parts tried was tried
 * @property {MainEffect[]} effects
 * @property {Interaction[]} interactions
 * @property {Conditional[]} conditional effects to show for the clear ones
 * @property {number} gsd
 * @property {number} df
 *
 * @typedef {object} Grid
 * @property {Arm[]} arms
 * @property {Map<string, string[]>} options of each slot that varies, the reference first
 * @property {[slot: string, part: string][]} columns
 * @property {number[][]} design a column of ones, then one for each of these
 */

/**
 * The factorial of an evening; null where no two parts were tried together.
 * @param {Arm[]} arms one a configuration
 * @param {(configuration: string) => Record<string, string>} partsOf the changed part of each slot
 * @param {string[]} slots
 * @param {Published.Scatter} scatter
 * @returns {Factorial | null}
 */
export function factorialOf(arms, partsOf, slots, scatter) {
  const inOrder = [...arms].sort((a, b) => (a.configuration < b.configuration ? -1 : 1));
  const exact = inOrder.filter(({ limits }) => limits.length === 0);
  const changed = exact.map(({ configuration }) => Object.values(partsOf(configuration)).filter(Boolean).length);
  if (exact.length < 2 || Math.max(...changed) < 2) return null;
  const grid = gridOf(exact, partsOf, slots);
  const complete = exact.length === [...grid.options.values()].reduce((all, tried) => all * tried.length, 1);
  const error = matrix(exact.length, exact.length, (i, j) => (i === j ? errorOf(exact[i]) : 0));
  const df = degrees(exact, scatter);
  const variance = sum(exact.map(errorOf)) / sum(exact.map(({ n }) => 1 / n));
  return {
    configurations: exact.map(({ configuration }) => configuration),
    leftOut: inOrder.filter(({ limits }) => limits.length).map(({ configuration }) => configuration),
    complete,
    effects: mainEffects(grid, error, { complete, df }),
    ...interactionsOf(grid, error, df),
    gsd: Math.exp(Math.sqrt(variance)),
    df,
  };
}

/** @returns {Grid} */
function gridOf(/** @type {Arm[]} */ arms, /** @type {(configuration: string) => Record<string, string>} */ partsOf, /** @type {string[]} */ slots) {
  const worn = arms.map(({ configuration }) => partsOf(configuration));
  const tried = slots.map((slot) => ({ slot, parts: [...new Set(worn.map((parts) => parts[slot] ?? ""))].sort() }));
  const options = new Map(tried.filter(({ parts }) => parts.length > 1).map(({ slot, parts }) => [slot, parts]));
  const columns = [...options].flatMap(([slot, parts]) =>
    parts.slice(1).map((part) => /** @type {[string, string]} */ ([slot, part])),
  );
  const design = worn.map((parts) => [1, ...columns.map(([slot, part]) => ((parts[slot] ?? "") === part ? 1 : 0))]);
  return { arms, options, columns, design };
}

/** Variance of the mean of an arm. */
function errorOf(/** @type {Arm | undefined} */ arm) {
  return arm ? arm.moderated / arm.n : 0;
}

function sum(/** @type {number[]} */ values) {
  return values.reduce((total, value) => total + value, 0);
}

/** Degrees of freedom of the scatter that all arms have in common. */
function degrees(/** @type {Arm[]} */ arms, /** @type {Published.Scatter} */ { arm_df: armDf }) {
  const total = sum(arms.map(errorOf));
  const own = sum(arms.map((arm) => (errorOf(arm) / total) ** 2 / (armDf + arm.df)));
  const kept = sum(arms.map((arm) => errorOf(arm) / total / (1 + arm.df / armDf)));
  return 1 / (own + kept ** 2 / (arms[0]?.wearer_df ?? 1));
}

/**
 * @param {Grid} grid
 * @param {number[][]} error
 * @param {{complete: boolean, df: number}} known
 * @returns {MainEffect[]}
 */
function mainEffects({ arms, options, columns, design }, error, { complete, df }) {
  const n = arms.length;
  // Where combinations are missing each arm may miss the product of its parts by a random deviation.
  const total = matrix(n, n, (i, j) => (error[i]?.[j] ?? 0) + (i === j ? LEVELS.interaction_sd ** 2 : 0));
  const y = arms.map(({ mean }) => mean);
  const fit = complete ? new LinearFit(design, y, identity(n), error) : new LinearFit(design, y, inverse(total), total);
  return columns.map(([slot, part], place) => {
    const column = place + 1;
    return {
      slot,
      part,
      against: options.get(slot)?.[0] ?? "",
      effect: fit.estimable(column) ? effectOf(fit.estimate(column), df) : null,
      aliases: fit.aliases(column).flatMap((other) => columns[other - 1]?.[1] ?? []),
    };
  });
}

/**
 * The interactions that can be told, one at a time beside the main effects, and what follows from clear ones.
 * @param {Grid} grid
 * @param {number[][]} error
 * @param {number} df
 */
function interactionsOf({ arms, columns, design }, error, df) {
  const y = arms.map(({ mean }) => mean);
  const shrunk = new AveragedArms({ y, error, design });
  /** @type {{interaction: Interaction, conditional: Conditional[]}[]} */
  const found = [];
  for (const [first, [, part]] of columns.entries()) {
    for (const [second, [, other]] of columns.entries()) {
      if (second <= first) continue;
      const [weights, turned] = [pairWeights(design, first + 1, second + 1), pairWeights(design, second + 1, first + 1)];
      if (!weights || !turned) continue;
      const effect = (/** @type {number[]} */ over) => effectOf(shrunk.estimate(over), df);
      const both = design.map((row) => [...row, (row[first + 1] ?? 0) * (row[second + 1] ?? 0)]);
      const plain = effectOf(new LinearFit(both, y, inverse(error), error).estimate(columns.length + 1), df);
      found.push({
        interaction: { part, other, effect: { ...effect(weights.beyond), p_value: plain.p_value } },
        conditional: [
          { part, other, apart: effect(weights.apart), together: effect(weights.together) },
          { part: other, other: part, apart: effect(turned.apart), together: effect(turned.together) },
        ],
      });
    }
  }
  const adjusted = holm(found.map(({ interaction }) => interaction.effect.p_value));
  const interactions = found.map(({ interaction }, place) => {
    return { ...interaction, effect: { ...interaction.effect, p_value: adjusted[place] ?? 1 } };
  });
  const isClear = (/** @type {number} */ place) => (adjusted[place] ?? 1) < LEVELS.clear_interaction_p;
  return { interactions, conditional: found.flatMap(({ conditional }, place) => (isClear(place) ? conditional : [])) };
}

/** @returns {Effect} */
function effectOf(/** @type {{estimate: number, se: number}} */ { estimate, se }, /** @type {number} */ df) {
  const half = studentQuantile((1 + LEVELS.shown_level) / 2, df) * se;
  return {
    ratio: Math.exp(estimate),
    low95: Math.exp(estimate - half),
    high95: Math.exp(estimate + half),
    p_value: 2 * studentBelow(-Math.abs(estimate) / se, df),
  };
}
