// What the takes of one evening tell: each change against the mask as sold, which part did it, and whether one more
// donning is worth it. The builder's own: builder/fit/plan/evening.py.
import { compareArms } from "./contrasts.js";
import { eveningArms } from "./evening-arms.js";
import { factorialOf } from "./factorial.js";
import { clearLimits, takesOf, worthIt } from "./one-more-donning.js";
import { verdictsInList } from "./verdicts.js";

/**
 * @typedef {import("./contrasts.js").Comparison} Comparison
 * @typedef {import("./one-more-donning.js").WorthIt} WorthIt
 * @typedef {import("./factorial.js").Factorial} Factorial
 * @typedef {{configuration: string, found: Comparison, worth: WorthIt | null}} Change
 * @typedef {{changes: Change[], parts: Factorial | null}} Told `changes` have the highest ratio first
 */

/** One method of measuring all evening: nothing between methods is to be taken out. @type {Published.Methods} */
const ALIKE = { levels: [], mean: [], loadings: [], own: 0 };

/**
 * @param {import("./evening-arms.js").Reading[]} readings takes that count
 * @param {import("./evening-arms.js").Known} known
 * @param {{mask: string, partsOf: (configuration: string) => Record<string, string>, slots: string[]}} worn
 * @returns {Told}
 */
export function eveningVerdicts(readings, known, { mask, partsOf, slots }) {
  const arms = eveningArms(readings, known, { wearer: "", facial_hair: "", method: [] });
  const inOrder = [...arms].sort((a, b) => (a.configuration < b.configuration ? -1 : 1));
  const sold = arms.find(({ configuration }) => configuration === mask);
  const changed = sold ? inOrder.filter((arm) => arm !== sold) : [];
  const compared = changed.map(({ configuration, ...arm }) => {
    const found = compareArms(sold ? [sold] : [], [{ ...arm }], { scatter: known.scatter, methods: ALIKE });
    return { ...found, configuration };
  });
  const alone = compared.map(({ wearers }) => wearers[0]?.p_value ?? 1);
  const limits = clearLimits(alone);
  const changes = verdictsInList(compared).map(({ configuration, ...found }, place) => {
    const values = (/** @type {string} */ name) => readings.filter((one) => one.configuration === name);
    const [a, b] = [values(mask), values(configuration)];
    const exact = [...a, ...b].every(({ atLeast }) => !atLeast);
    const takes = (/** @type {typeof readings} */ own) => takesOf(own.map(({ fitFactor }) => fitFactor));
    const worth = exact ? worthIt(takes(a), takes(b), known, limits[place] ?? 0) : null;
    return { configuration, found, worth };
  });
  return {
    changes: changes.sort((p, q) => (q.found.ratio ?? -1) - (p.found.ratio ?? -1)),
    parts: factorialOf(arms, partsOf, slots, known.scatter),
  };
}
