// In which order to test configurations, as builder/fit/plan has it: few changes of parts, drift spread evenly, what
// cannot be undone last. The same seed gives the same order as `sealbook plan`.
import { largestMatching } from "./matching.js";
import { Generator } from "./random.js";

/** The option of a slot that is left as sold. */
const AS_SOLD = "";

/**
 * @typedef {object} Factor a slot that varies
 * @property {string} slot
 * @property {string[]} parts to try in it beside as sold
 * @property {string[]} lasting those of them that cannot be undone
 *
 * @typedef {string[]} Combination one option for each factor, in their order
 * @typedef {{specimen: number, configuration: Combination, purpose: "design" | "baseline" | "drift"}} Planned
 */

/** Half of the combinations of two parts tells nothing: both would always be fitted together. */
export const FEWEST_TO_HALVE = 3;

/** Factors of one part beside as sold. */
export function halved(/** @type {Factor[]} */ factors) {
  return factors.filter(({ parts }) => parts.length === 1);
}

/**
 * Every configuration so often, in the order to test them.
 * @param {Factor[]} factors the most interesting first
 * @param {{half: boolean, donnings: number, seed: number}} asked
 * @returns {Planned[]}
 */
export function runOrder(factors, { half, donnings, seed }) {
  const random = new Generator(seed);
  const phases = keptOnes(factors)
    .map((kept) => new Phase(factors, kept, half))
    .filter((phase) => phase.possible);
  /** @type {Planned[]} */
  const run = [];
  for (const [place, chain] of chains(phases, random).entries()) {
    const specimen = place + 1;
    /** @type {Combination} */
    let start = factors.map(() => AS_SOLD);
    if (!chain[0]?.kept.every((part) => part === AS_SOLD)) {
      for (let time = 0; time < donnings; time += 1) run.push({ specimen, configuration: start, purpose: "baseline" });
    }
    for (const phase of chain) {
      const tour = phase.tour(start, random, donnings % 2 === 0);
      start = tour[0] ?? start;
      for (let turn = 0; turn < donnings; turn += 1) {
        for (const configuration of backAndForth(tour, turn)) run.push({ specimen, configuration, purpose: "design" });
      }
      if (donnings % 2 && tour.length > 1) run.push({ specimen, configuration: start, purpose: "drift" });
    }
  }
  return run;
}

/**
 * How many slots differ.
 * @param {Combination} before
 * @param {Combination} after
 */
export function changes(before, after) {
  return before.filter((part, place) => part !== after[place]).length;
}

/** The configurations that keep the same parts for good. */
class Phase {
  /**
   * @param {Factor[]} factors
   * @param {Combination} kept
   * @param {boolean} half
   */
  constructor(factors, kept, half) {
    this.factors = factors;
    this.kept = kept;
    this.half = half;
    /** Places of factors of one part that can still be fitted and taken off here. */
    this.free = factors.flatMap(({ parts, lasting }, place) => (parts.length === 1 && !lasting.length ? [place] : []));
    const fixed = factors.filter(({ parts }, place) => kept[place] && parts.length === 1).length;
    /** Number of lasting parts among the factors of one part, modulo 2. */
    this.parity = fixed % 2;
  }

  /** Whether a half holds any of them. */
  get possible() {
    return !this.half || this.free.length > 0 || this.parity === 0;
  }

  /**
   * A closed tour through them from a member nearest to another configuration.
   * @param {Combination} near
   * @param {Generator} random
   * @param {boolean} everything whether as sold is shuffled too
   * @returns {Combination[]}
   */
  tour(near, random, everything) {
    const options = this.factors.map(({ parts, lasting }, place) => {
      const kept = this.kept[place];
      if (kept) return [kept];
      const own = [AS_SOLD, ...parts].filter((part) => !lasting.includes(part));
      const fixed = everything ? [] : own.slice(0, 1);
      return [...fixed, ...random.shuffled(own.slice(fixed.length))];
    });
    const free = this.half ? this.free : [];
    const [first] = free;
    // In a half the first slot of one part follows from the others.
    const sizes = options.map((choice, place) => (place === first ? 1 : choice.length));
    const tour = closedTour(sizes).map((places) => {
      const worn = options.map((choice, place) => choice[places[place] ?? 0] ?? AS_SOLD);
      if (first !== undefined) {
        const others = free.slice(1).filter((place) => worn[place] !== AS_SOLD).length;
        worn[first] = (others + this.parity) % 2 ? (this.factors[first]?.parts[0] ?? AS_SOLD) : AS_SOLD;
      }
      return worn;
    });
    const steps = tour.map((worn) => changes(near, worn));
    const fewest = Math.min(...steps);
    const nearest = steps.flatMap((step, place) => (step === fewest ? [place] : []));
    const start = random.choice(nearest);
    return [...tour.slice(start), ...tour.slice(0, start)];
  }
}

/** Every choice of parts to keep for good, the fewest first. @returns {Combination[]} */
function keptOnes(/** @type {Factor[]} */ factors) {
  /** @type {Combination[]} */
  let choices = [[]];
  for (const { parts, lasting } of factors) {
    const own = [AS_SOLD, ...parts.filter((part) => lasting.includes(part))];
    choices = choices.flatMap((choice) => own.map((part) => [...choice, part]));
  }
  const many = (/** @type {Combination} */ kept) => kept.filter(Boolean).length;
  return choices.sort((a, b) => many(a) - many(b));
}

/** Shares the phases out over the fewest specimens; each keeps what the one before it on its specimen has. */
function chains(/** @type {Phase[]} */ phases, /** @type {Generator} */ random) {
  const successor = largestMatching(
    phases.map((earlier) => phases.flatMap((later, place) => (keepsAll(later, earlier) ? [place] : []))),
  );
  const [first, ...others] = phases.map((_, place) => place).filter((place) => !successor.includes(place));
  return [...(first === undefined ? [] : [first]), ...random.shuffled(others)].map((head) => {
    /** @type {Phase[]} */
    const chain = [];
    for (let place = head; place >= 0; place = successor[place] ?? -1) chain.push(.../** @type {[Phase]} */ ([phases[place]]));
    return chain;
  });
}

/** Whether a phase has all that another keeps, and more. */
function keepsAll(/** @type {Phase} */ later, /** @type {Phase} */ earlier) {
  if (later === earlier) return false;
  return earlier.kept.every((part, place) => part === AS_SOLD || part === later.kept[place]);
}

/**
 * Every tuple of numbers below `sizes`, from all zeros, one place differing from each to the next and from the last to
 * the first; later places change less often.
 * @param {number[]} sizes
 * @returns {number[][]}
 */
function closedTour(sizes) {
  /** @type {number[][]} */
  let tour = [[]];
  for (const size of sizes) tour = layered(tour, size);
  return tour;
}

/** @returns {number[][]} */
function layered(/** @type {number[][]} */ tour, /** @type {number} */ layers) {
  const through = (/** @type {number[][]} */ places) =>
    Array.from({ length: layers }, (_, layer) => backAndForth(places, layer).map((place) => [...place, layer])).flat();
  if (layers % 2 === 0) return through(tour);
  // The reflected code of an odd number of layers ends far from where it began, so the first place of each copy is left
  // for the way back.
  const [first = [], ...rest] = tour;
  const back = Array.from({ length: layers - 1 }, (_, step) => [...first, layers - 1 - step]);
  return [[...first, 0], ...through(rest), ...back];
}

/** @template Item @returns {Item[]} */
function backAndForth(/** @type {Item[]} */ tour, /** @type {number} */ turn) {
  return turn % 2 ? [...tour].reverse() : tour;
}
