// What the takes of an evening tell, from their answers.
import { configurationOf, counts, maskOf, outcomes, tokenOf, wornList } from "./evening.js";
import { eveningVerdicts } from "../statistics/evening-verdicts.js";
import { scatterOf } from "./known.js";

/**
 * @typedef {import("./evening.js").Take} Take
 * @typedef {import("./evening.js").Worn} Worn
 * @typedef {import("./known.js").Known} Known
 *
 * @typedef {object} Reading a take with its figure
 * @property {Take} take
 * @property {number} number from 1, in order of time
 * @property {string} configuration
 * @property {number | null} fitFactor
 * @property {boolean} atLeast
 * @property {boolean} counted
 * @property {boolean} sound whether its file would pass
 *
 * @typedef {object} Told
 * @property {{take: Take, outcome: import("./evening.js").Outcome}[]} outcomes what became of each take
 * @property {Reading[]} readings
 * @property {import("../statistics/evening-verdicts.js").Told} verdicts
 * @property {Map<string, Worn>} worn what each configuration is
 * @property {(part: string) => {slot: string, part: string} | undefined} partOf a part by what it is called in ids
 */

/**
 * @param {import("./evening.js").State} state
 * @param {Known} known
 * @returns {Told}
 */
export function toldBy(state, known) {
  const { setUp } = state;
  const hair = known.form.hair_at_seal.includes(String(setUp.answers["test.face.facial_hair"]));
  const became = outcomes(state, known.form, known.today());
  const readings = became.map(({ take, outcome }, place) => ({
    take,
    number: place + 1,
    configuration: configurationOf(setUp, take.worn, known.form),
    fitFactor: outcome.overall?.fitFactor ?? null,
    atLeast: outcome.overall?.atLeast ?? false,
    counted: counts(take) && !hair && outcome.overall !== null,
    sound: outcome.problems.size === 0,
  }));
  const worn = new Map(readings.map(({ configuration, take }) => [configuration, take.worn]));
  const parts = new Map(
    readings.flatMap(({ take }) =>
      wornList(take.worn, known.form).map((one) => [tokenOf(setUp, one.slot, one.part), one]),
    ),
  );
  const counted = readings.flatMap(({ configuration, fitFactor, atLeast, counted: is }) =>
    is && fitFactor !== null ? [{ configuration, fitFactor, atLeast }] : [],
  );
  const verdicts = eveningVerdicts(counted, scatterOf(known, setUp), {
    mask: maskOf(setUp),
    slots: known.form.slots.map(([slot]) => slot),
    partsOf: (configuration) => {
      const own = wornList(worn.get(configuration) ?? {}, known.form);
      return Object.fromEntries(own.map(({ slot, part }) => [slot, tokenOf(setUp, slot, part)]));
    },
  });
  return { outcomes: became, readings, verdicts, worn, partOf: (part) => parts.get(part) };
}
