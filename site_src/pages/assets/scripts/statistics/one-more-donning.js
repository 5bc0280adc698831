// Is one more donning worth it? The chance that it changes the verdict on two configurations of one wearer, step for step
// as builder/fit/plan/one_more.py has it.
import { studentBelow } from "./distributions.js";
import { moreDonnings } from "./contrasts.js";
import { LEVELS } from "../words/levels.js";

/**
 * @typedef {import("./verdicts.js").Word} Word
 * @typedef {import("./verdicts.js").Direction} Direction
 * @typedef {"a" | "b" | "each"} Side which arm the further donning is of
 * @typedef {{n: number, mean: number, variance: number}} Takes donnings of one arm: their mean ln FF and own variance
 * @typedef {{side: Side, now: number, outcomes: number[], chance: number}} OneMore
 *   What one more donning is likely to do: `now` is the place of the verdict in `OUTCOMES`, `outcomes` the chance of each
 *   afterwards, `chance` that of any but the one there is.
 * @typedef {{a: OneMore, b: OneMore, each: OneMore, fewer: "a" | "b", forSeen: number | null}} WorthIt
 */

/** The verdicts that exact readings can come to. @type {readonly (readonly [Word, Direction])[]} */
const OUTCOMES = Object.freeze([
  ["clear", "b-higher"],
  ["likely", "b-higher"],
  ["alike", "none"],
  ["cannot-tell", "none"],
  ["likely", "a-higher"],
  ["clear", "a-higher"],
]);
const LOWEST = OUTCOMES.length - 1;

/** The takes of one arm, all of them exact. @returns {Takes} */
export function takesOf(/** @type {number[]} */ fitFactors) {
  const logs = fitFactors.map((value) => Math.log(value));
  const n = logs.length;
  const mean = logs.reduce((sum, y) => sum + y, 0) / n;
  const squares = logs.reduce((sum, y) => sum + (y - mean) ** 2, 0);
  return { n, mean, variance: n > 1 ? squares / (n - 1) : 0 };
}

/**
 * The p-value below which each comparison of a list is clear, all others staying as they are.
 * @param {number[]} pValues
 */
export function clearLimits(pValues) {
  const number = pValues.length;
  return pValues.map((_, place) => {
    const others = pValues.filter((_one, other) => other !== place).sort((p, q) => p - q);
    let passed = 0;
    while (passed < others.length && (others[passed] ?? 1) * (number - passed) < LEVELS.beyond_clear) passed += 1;
    return LEVELS.beyond_clear / (number - passed);
  });
}

/**
 * @param {Takes} a
 * @param {Takes} b
 * @param {import("./evening-arms.js").Known} known
 * @param {number} clearBelow
 * @returns {WorthIt}
 */
export function worthIt(a, b, known, clearBelow) {
  const pair = new Pair(known, clearBelow);
  const now = pair.verdict(a, b);
  const seen = b.mean - a.mean;
  const { variance, df } = pair.error(a, b);
  const gsd = Math.exp(Math.sqrt(variance / (1 / a.n + 1 / b.n)));
  return {
    a: oneMore("a", now, pair.chances(a, (moved) => pair.verdict(moved, b))),
    b: oneMore("b", now, pair.chances(b, (moved) => pair.verdict(a, moved))),
    each: oneMore("each", now, ofEach(pair, a, b)),
    fewer: a.n < b.n ? "a" : "b",
    forSeen: seen === 0 ? null : moreDonnings(Math.abs(seen), gsd, a.n, b.n, df),
  };
}

/** @returns {OneMore} */
function oneMore(/** @type {Side} */ side, /** @type {number} */ now, /** @type {number[]} */ outcomes) {
  return { side, now, outcomes, chance: Math.max(0, 1 - (outcomes[now] ?? 0)) };
}

/** Chances after one more donning of each arm: averaged over what that of A will read. */
function ofEach(/** @type {Pair} */ pair, /** @type {Takes} */ a, /** @type {Takes} */ b) {
  const { scale, df } = pair.predicted(a);
  const strips = LEVELS.one_more_steps / 2;
  const end = (/** @type {number} */ place) => Math.sinh(LEVELS.one_more_reach * ((2 * place) / strips - 1));
  const below = (/** @type {number} */ place) => (place === 0 ? 0 : place === strips ? 1 : studentBelow(end(place), df));
  const total = OUTCOMES.map(() => 0);
  for (let strip = 0; strip < strips; strip += 1) {
    const weight = below(strip + 1) - below(strip);
    const moved = withOneMore(a, a.mean + scale * end(strip + 0.5));
    const chances = pair.chances(b, (other) => pair.verdict(moved, other));
    for (const [place, chance] of chances.entries()) total[place] = (total[place] ?? 0) + weight * chance;
  }
  return total;
}

/** @returns {Takes} the arm after a further reading, ln FF */
function withOneMore(/** @type {Takes} */ { n, mean, variance }, /** @type {number} */ reading) {
  const away = reading - mean;
  return { n: n + 1, mean: mean + away / (n + 1), variance: (variance * (n - 1) + (away ** 2 * n) / (n + 1)) / n };
}

/** How arms of one wearer are judged. */
class Pair {
  /**
   * @param {import("./evening-arms.js").Known} known
   * @param {number} clearBelow
   */
  constructor({ scatter, wearer }, clearBelow) {
    this.armDf = scatter.arm_df;
    this.wearer = wearer;
    this.clearBelow = clearBelow;
  }

  kept(/** @type {Takes} */ { n }) {
    return 1 / (1 + (n - 1) / this.armDf);
  }

  moderated(/** @type {Takes} */ arm) {
    const kept = this.kept(arm);
    return kept * this.wearer.variance + (1 - kept) * (arm.n > 1 ? arm.variance : 0);
  }

  /** Variance of B − A and its degrees of freedom. */
  error(/** @type {Takes} */ a, /** @type {Takes} */ b) {
    const [ofA, ofB] = [this.moderated(a) / a.n, this.moderated(b) / b.n];
    const variance = ofA + ofB;
    const [shareA, shareB] = [ofA / variance, ofB / variance];
    const arms = shareA ** 2 / (this.armDf + a.n - 1) + shareB ** 2 / (this.armDf + b.n - 1);
    const common = shareA * this.kept(a) + shareB * this.kept(b);
    return { variance, df: 1 / (arms + common ** 2 / this.wearer.df) };
  }

  /** Place in `OUTCOMES` of what is said of two arms. */
  verdict(/** @type {Takes} */ a, /** @type {Takes} */ b) {
    const difference = b.mean - a.mean;
    const { variance, df } = this.error(a, b);
    const se = Math.sqrt(variance);
    const p = 2 * studentBelow(-Math.abs(difference) / se, df);
    if (p < LEVELS.beyond_likely) {
      const upwards = p < this.clearBelow ? 0 : 1;
      return difference < 0 ? LOWEST - upwards : upwards;
    }
    const room = (Math.log(LEVELS.alike_ratio) - Math.abs(difference)) / se;
    return studentBelow(room, df) >= (1 + LEVELS.likely_level) / 2 ? 2 : 3;
  }

  /** Scale of what a further donning reads around the arm's mean, and its degrees of freedom. */
  predicted(/** @type {Takes} */ arm) {
    const df = 1 / (1 / (this.armDf + arm.n - 1) + this.kept(arm) ** 2 / this.wearer.df);
    return { scale: Math.sqrt(this.moderated(arm) * (1 + 1 / arm.n)), df };
  }

  /**
   * Chance of each outcome after one more donning of an arm: between the steps of the verdict, which are looked for on a
   * grid and then halved down to.
   * @param {Takes} arm
   * @param {(moved: Takes) => number} verdict
   */
  chances(arm, verdict) {
    const { scale, df } = this.predicted(arm);
    const [reach, steps] = [LEVELS.one_more_reach, LEVELS.one_more_steps];
    const after = (/** @type {number} */ place) => verdict(withOneMore(arm, arm.mean + scale * Math.sinh(place)));
    const at = (/** @type {number} */ step) => reach * ((2 * step) / steps - 1);
    const chances = OUTCOMES.map(() => 0);
    const add = (/** @type {number} */ outcome, /** @type {number} */ chance) => {
      chances[outcome] = (chances[outcome] ?? 0) + chance;
    };
    let before = after(at(0));
    for (let step = 1; step <= steps; step += 1) {
      const found = after(at(step));
      if (found !== before) {
        const below = studentBelow(Math.sinh(this.step(after, before, at(step - 1), at(step))), df);
        add(before, below);
        add(found, -below);
      }
      before = found;
    }
    add(before, 1);
    return chances;
  }

  /** Where the verdict steps away from what it is at the lower of two places. */
  step(
    /** @type {(place: number) => number} */ after,
    /** @type {number} */ before,
    /** @type {number} */ from,
    /** @type {number} */ to,
  ) {
    let [low, high] = [from, to];
    for (let halving = 0; halving < LEVELS.one_more_halvings; halving += 1) {
      const middle = (low + high) / 2;
      if (after(middle) === before) low = middle;
      else high = middle;
    }
    return high;
  }
}
