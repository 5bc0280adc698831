// The overall fit factor that the builder will compute from exercises or counts (29 CFR 1910.134, Appendix A).

const GRIMACE = "grimace";

/** @typedef {{fitFactor: number, atLeast: boolean}} Overall */

/**
 * The overall fit factor of a result as the file holds it; null where there is none yet.
 * Throws an error, its message for readers, for counts that give none.
 * @param {any} result
 * @returns {Overall | null}
 */
export function overallOf(result) {
  const exercises = (result.exercise ?? []).filter((one) => one.fit_factor !== undefined && one.name !== GRIMACE);
  if (exercises.length) {
    return {
      fitFactor: 1 / mean(exercises.map((one) => 1 / one.fit_factor)),
      atLeast: exercises.some((one) => one.at_least ?? false),
    };
  }
  if (result.counts) return fromCounts(result.counts);
  return result.fit_factor === undefined ? null : { fitFactor: result.fit_factor, atLeast: result.at_least ?? false };
}

/**
 * One over the mean leakage of the stretches in the mask without the grimace, each set against the air around it.
 * @param {any[]} counts in order of time
 * @returns {Overall}
 */
function fromCounts(counts) {
  const air = counts
    .filter((one) => one.phase === "ambient")
    .map((one) => ({ seconds: one.seconds, rate: rateOf(one) }));
  if (!air.length) throw new Error("There is no stretch of ambient air to set the mask against.");
  const exposures = exposuresOf(counts, air.length);
  const counted = exposures.filter(({ stretch }) => stretch.exercise !== GRIMACE);
  if (!counted.length) throw new Error("There is no stretch in the mask other than the grimace.");
  const around = (exposure) => mean(exposure.near.map((place) => air[place].rate));
  if (exposures.some((exposure) => around(exposure) === 0)) {
    throw new Error("No particle was counted in the ambient air, so there is no fit factor.");
  }
  if (exposures.some(({ stretch }) => stretch.concentration === 0)) {
    throw new Error("A concentration of 0 in the mask gives no fit factor: give the particles.");
  }
  const leak = mean(counted.map((exposure) => rateOf(exposure.stretch) / around(exposure)));
  const found = leak
    ? { fitFactor: 1 / leak, atLeast: false }
    : { fitFactor: limit(counted, air, around), atLeast: true };
  if (found.fitFactor < 1)
    throw new Error("The counts give a fit factor below 1: more particles in the mask than outside.");
  return found;
}

/** Each stretch in the mask with the places of the nearest ambient ones, before and after. */
function exposuresOf(/** @type {any[]} */ counts, /** @type {number} */ total) {
  let seen = 0;
  return counts.flatMap((stretch) => {
    if (stretch.phase === "ambient") seen += 1;
    const near = [seen - 1, seen].filter((place) => place >= 0 && place < total);
    return stretch.phase === "ambient" ? [] : [{ stretch, near }];
  });
}

/** The one-sided 95 % lower limit where no particle was counted in the mask, as builder/fit/poisson.py has it. */
function limit(counted, air, around) {
  const unmasked = counted.map((exposure) => around(exposure) * exposure.stretch.seconds);
  const all = sum(unmasked);
  const pull = air.map(() => 0);
  for (const [place, exposure] of counted.entries()) {
    for (const near of exposure.near) pull[near] += unmasked[place] / all / around(exposure) / exposure.near.length;
  }
  const ambient = 1 / sum(air.map(({ rate, seconds }, place) => (pull[place] ** 2 * rate) / seconds));
  return all / ambient / Math.expm1(-Math.log(0.05) / ambient);
}

function rateOf(/** @type {any} */ stretch) {
  return stretch.particles === undefined ? stretch.concentration : stretch.particles / stretch.seconds;
}

function sum(/** @type {number[]} */ numbers) {
  return numbers.reduce((total, one) => total + one, 0);
}

function mean(/** @type {number[]} */ numbers) {
  return sum(numbers) / numbers.length;
}
