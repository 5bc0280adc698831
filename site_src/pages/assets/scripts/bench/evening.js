// One evening at the counter: what was set up, the takes, and what follows from them for the run.
import { entriesFrom } from "../contribute/entries.js";
import { idFrom, NEW, textOf } from "../contribute/names.js";
import { runOrder } from "../statistics/run-order.js";

/**
 * @typedef {import("../contribute/names.js").Answers} Answers
 * @typedef {import("../contribute/entries.js").Outcome} Outcome
 * @typedef {import("../statistics/run-order.js").Factor} Factor
 * @typedef {Record<string, string>} Worn the part in each slot that is changed: an id, "none", or the key of a new part
 *
 * @typedef {{slot: string, answers: Answers}} NewPart what is told of a part that has no file yet, by the form's keys of a
 *   part: `name`, `section.shape`
 *
 * @typedef {object} SetUp
 * @property {Answers} answers of the form, all that the takes have in common
 * @property {{slot: string, parts: string[]}[]} vary the parts to try in each slot, the most interesting slot first
 * @property {Record<string, NewPart>} newParts by their keys
 * @property {number} donnings of each configuration
 * @property {boolean} half
 * @property {number} seed
 *
 * @typedef {object} Take
 * @property {number} id
 * @property {Worn} worn
 * @property {number} specimen
 * @property {Answers} answers
 *
 * @typedef {object} Draft a take that is not finished
 * @property {number | null} id of the take that is edited, null for a new one
 * @property {Worn} worn
 * @property {number} specimen
 * @property {Answers} answers
 *
 * @typedef {object} State
 * @property {SetUp} setUp
 * @property {Take[]} takes in order of time
 * @property {Draft | null} draft
 *
 * @typedef {{id: string, made: string, state: State, past: State[]}} Evening `past` is what can be gone back to
 *
 * @typedef {object} Line one donning of the run
 * @property {number} specimen
 * @property {Worn} worn
 * @property {Take | null} take the one that counts for it
 */

/** Steps that can be undone. */
const MOST_PAST = 40;
/** What the key of a part that has no file yet begins with; no id holds a "+". */
const NEW_KEY = "+part-";

/** @param {Answers} answers @returns {Evening} */
export function newEvening(answers) {
  const made = new Date().toISOString();
  const setUp = { answers, vary: [], newParts: {}, donnings: 2, half: false, seed: 1 };
  return { id: crypto.randomUUID(), made, state: { setUp, takes: [], draft: null }, past: [] };
}

/**
 * The evening after a step that can be undone.
 * @param {Evening} evening
 * @param {State} state
 * @returns {Evening}
 */
export function after(evening, state) {
  return { ...evening, state, past: [...evening.past, evening.state].slice(-MOST_PAST) };
}

/** The evening before its last step. @param {Evening} evening @returns {Evening} */
export function undone(evening) {
  const state = evening.past.at(-1);
  return state ? { ...evening, state, past: evening.past.slice(0, -1) } : evening;
}

/** A key for one more new part. */
export function nextPartKey(/** @type {SetUp} */ { newParts }) {
  const used = Object.keys(newParts).map((key) => Number(key.slice(NEW_KEY.length)));
  return `${NEW_KEY}${Math.max(0, ...used) + 1}`;
}

/** The id that a new part will have. */
export function newPartId(/** @type {NewPart} */ { answers }) {
  return textOf(answers, "id").trim() || idFrom(textOf(answers, "name"));
}

/** The id of the evening's mask. */
export function maskOf(/** @type {SetUp} */ { answers }) {
  if (answers["test.mask"] !== NEW) return textOf(answers, "test.mask");
  return textOf(answers, "mask.id").trim() || idFrom(`${textOf(answers, "mask.model")} ${textOf(answers, "mask.size")}`);
}

/**
 * What a part is called in the id of a configuration.
 * @param {SetUp} setUp
 * @param {string} slot
 * @param {string} part
 */
export function tokenOf({ newParts }, slot, part) {
  if (part === "none") return `no-${slot}`;
  const own = newParts[part];
  return own ? newPartId(own) : part;
}

/**
 * The id of a configuration of the evening's mask.
 * @param {SetUp} setUp
 * @param {Worn} worn
 * @param {Published.Form} form
 */
export function configurationOf(setUp, worn, { slots }) {
  const tokens = slots.flatMap(([slot]) => (worn[slot] ? [tokenOf(setUp, slot, worn[slot])] : []));
  return [maskOf(setUp), ...tokens].join("+");
}

/**
 * The slots that vary, as the builder plans with them.
 * @param {SetUp} setUp
 * @param {string[]} lasting ids of the parts that cannot be undone
 * @returns {Factor[]}
 */
export function factorsOf({ vary, newParts }, lasting) {
  const lasts = (/** @type {string} */ part) => {
    const own = newParts[part];
    return part === "none" || (own ? own.answers.can_be_undone === "no" : lasting.includes(part));
  };
  return vary.filter(({ parts }) => parts.length > 0).map(({ slot, parts }) => ({ slot, parts, lasting: parts.filter(lasts) }));
}

/**
 * How many donnings a run has, at least.
 * @param {Factor[]} factors
 * @param {{half: boolean, donnings: number}} asked
 */
export function plannedDonnings(factors, { half, donnings }) {
  const all = factors.reduce((product, { parts }) => product * (parts.length + 1), 1);
  return (all * donnings) / (half ? 2 : 1);
}

/**
 * The run in its order, each donning with the take that counts for it.
 * @param {State} state
 * @param {string[]} lasting
 * @returns {Line[]}
 */
export function linesOf({ setUp, takes }, lasting) {
  const factors = factorsOf(setUp, lasting);
  const planned = runOrder(factors, setUp).map(({ specimen, configuration }) => ({
    specimen,
    worn: wornOf(factors, configuration),
    take: /** @type {Take | null} */ (null),
  }));
  for (const take of takes.filter(counts)) {
    const same = planned.filter((one) => !one.take && isSame(one.worn, take.worn));
    const line = same.find(({ specimen }) => specimen === take.specimen) ?? same[0];
    if (line) line.take = take;
  }
  return planned;
}

/** @returns {Worn} */
function wornOf(/** @type {Factor[]} */ factors, /** @type {string[]} */ configuration) {
  return Object.fromEntries(
    factors.flatMap(({ slot }, place) => (configuration[place] ? [[slot, configuration[place]]] : [])),
  );
}

/** Whether two donnings have the same changes. */
export function isSame(/** @type {Worn} */ a, /** @type {Worn} */ b) {
  const slots = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...slots].every((slot) => (a[slot] ?? "") === (b[slot] ?? ""));
}

/** Whether a take was not set aside. */
export function counts(/** @type {Pick<Take, "answers">} */ { answers }) {
  return textOf(answers, "test.result.set_aside").trim() === "";
}

/**
 * The answers of the whole form for one take.
 * @param {SetUp} setUp
 * @param {Draft | Take} take
 * @param {number} place among the takes, from 0
 * @returns {Answers}
 */
export function answersOf(setUp, { worn, answers }, place) {
  const first = Number.parseInt(textOf(setUp.answers, "test.number"), 10) || 1;
  /** @type {Answers} */
  const changed = {};
  for (const [slot, part] of Object.entries(worn)) {
    const name = `test.configuration.${slot}`;
    const own = setUp.newParts[part];
    changed[name] = own ? NEW : part;
    for (const [key, answer] of Object.entries(own?.answers ?? {})) changed[`part.${name}.${key}`] = answer;
  }
  const numbers = { "test.number": String(first + place), "test.conditions.order": String(place + 1) };
  return plainNumbers({ ...setUp.answers, ...changed, ...answers, ...numbers });
}

/**
 * What became of each take: its files, what is wrong with it.
 * @param {State} state
 * @param {Published.Form} form
 * @param {string} today
 * @returns {{take: Take, outcome: Outcome}[]}
 */
export function outcomes({ setUp, takes }, form, today) {
  return takes.map((take, place) => ({ take, outcome: entriesFrom(answersOf(setUp, take, place), form, today) }));
}

/** Numbers as the form reads them: a comma that parts decimals becomes a point. @returns {Answers} */
function plainNumbers(/** @type {Answers} */ answers) {
  const plain = Object.entries(answers).map(([name, answer]) => [
    name,
    typeof answer === "string" && /^\s*[+-]?\d+,\d+\s*$/.test(answer) && !isUnclear(answer) ? answer.replace(",", ".") : answer,
  ]);
  return Object.fromEntries(plain);
}

/** Whether a comma may part thousands as well as decimals: "1,200". */
export function isUnclear(/** @type {string} */ text) {
  return /^\s*[1-9]\d{0,2},\d{3}\s*$/.test(text);
}
