// What stands in a cell of readings instead of a number: nothing, the counter's limit, less than something.
import { LOGS } from "../words/logs.js";
import { stripped } from "./log-text.js";
import { unitFactor } from "./log-words.js";

/** @typedef {{remark: string, number: string}} OddCell what is to be said of it, and the number that stands for it or "" */

const { missing, over, below, above } = LOGS.words.cells;
const KNOWN = new Map([
  ...over.map((name) => /** @type {const} */ ([name, "over_range"])),
  ...missing.map((name) => /** @type {const} */ ([name, "missing_readings"])),
]);
const ENDS_IN_UNIT =
  /^[-+]?\d[\d.,'’ \u00a0\u2009\u202f]*(?:e[-+]?\d+)?\s*((?:(?<=\s)1\/)?[^\d\s.,:/-][^\d:]*\d?[^\d:]*)$/iu;

/**
 * What a cell that holds no number means; null where it means nothing.
 * @param {string} text
 * @returns {OddCell | null}
 */
export function oddCell(text) {
  const bare = stripped(text).toLowerCase();
  const known = KNOWN.get(bare);
  if (known) return { remark: known, number: "" };
  for (const [remark, marks] of /** @type {const} */ ([["below_limit", below], ["over_range", above]])) {
    for (const mark of [...marks].sort((one, other) => other.length - one.length)) {
      const rest = bare.startsWith(mark) ? stripped(bare.slice(mark.length)) : "";
      if (/^\p{Nd}/u.test(rest)) return { remark, number: remark === "below_limit" ? rest : "" };
    }
  }
  return null;
}

/** The unit behind the number in a cell, such as "cps" in "12 cps"; "" for none. */
export function unitBehind(/** @type {string} */ text) {
  const unit = ENDS_IN_UNIT.exec(stripped(text))?.[1] ?? "";
  return unit && unitFactor(unit) ? stripped(unit) : "";
}

/** A cell without the unit that stands behind the numbers of its column. */
export function bareNumber(/** @type {string} */ text, /** @type {string} */ unit) {
  if (!unit) return text;
  const bare = stripped(text);
  return bare.endsWith(unit) ? stripped(bare.slice(0, -unit.length)) : bare;
}
