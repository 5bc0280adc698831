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
 * @property {SetUp | null} editing the set-up while it is changed, and before the evening begins
 * @property {Take[]} takes in order of time
 * @property {Draft | null} draft
 *
 * @typedef {object} Evening
 * @property {string} id
 * @property {string} made when it was begun
 * @property {boolean} open whether it is the one on the screen
 * @property {State} state
 * @property {{did: string, state: State}[]} past what can be gone back to, with what was done then in words
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
  return { id: made, made, open: true, state: { setUp, editing: setUp, takes: [], draft: null }, past: [] };
}

/**
 * The evening after a step that can be undone.
 * @param {Evening} evening
 * @param {Partial<State>} changed
 * @param {string} did in words
 * @returns {Evening}
 */
export function after(evening, changed, did) {
  const { draft } = evening.state;
  // A take that is undone can be finished otherwise; one that was edited is as it was.
  const before = { ...evening.state, draft: draft?.id === null ? draft : null };
  const past = [...evening.past, { did, state: before }].slice(-MOST_PAST);
  return { ...evening, state: { ...evening.state, ...changed }, past };
}

/** The evening before its last step. @param {Evening} evening @returns {Evening} */
export function undone(evening) {
  const last = evening.past.at(-1);
  return last ? { ...evening, state: last.state, past: evening.past.slice(0, -1) } : evening;
}

/** The takes with a draft among them: in its place, or as the last. @returns {Take[]} */
export function withDraft(/** @type {Take[]} */ takes, /** @type {Draft} */ { id, ...told }) {
  const next = Math.max(0, ...takes.map((take) => take.id)) + 1;
  const take = { ...told, id: id ?? next };
  return id === null ? [...takes, take] : takes.map((other) => (other.id === id ? take : other));
}

/** A key for one more new part. */
export function nextPartKey(/** @type {SetUp} */ { newParts }) {
  const used = Object.keys(newParts).map((key) => Number(key.slice(NEW_KEY.length)));
  return `${NEW_KEY}${Math.max(0, ...used) + 1}`;
}

/** The id that a new part will have. */
function newPartId(/** @type {NewPart} */ { answers }) {
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
  const tokens = wornList(worn, { slots }).map(({ slot, part }) => tokenOf(setUp, slot, part));
  return [maskOf(setUp), ...tokens].join("+");
}

/** The changed parts in the order of their slots. */
export function wornList(/** @type {Worn} */ worn, /** @type {Pick<Published.Form, "slots">} */ { slots }) {
  return slots.flatMap(([slot]) => {
    const part = worn[slot];
    return part ? [{ slot, part }] : [];
  });
}

/**
 * The slots that vary, as the builder plans with them.
 * @param {SetUp} setUp
 * @param {string[]} lasting ids of the parts that cannot be undone
 * @returns {Factor[]}
 */
export function factorsOf({ vary, newParts }, lasting) {
  const own = (/** @type {string} */ part) => isLasting(newParts, part, lasting);
  return vary.filter(({ parts }) => parts.length > 0).map(({ slot, parts }) => ({ slot, parts, lasting: parts.filter(own) }));
}

/**
 * Whether a part cannot be undone; what is taken out never can.
 * @param {SetUp["newParts"]} newParts
 * @param {string} part
 * @param {string[]} lasting ids of the known ones that cannot
 */
export function isLasting(newParts, part, lasting) {
  const own = newParts[part];
  return part === "none" || (own ? own.answers.can_be_undone === "no" : lasting.includes(part));
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
 * @param {Pick<State, "setUp" | "takes">} state
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

/** The number of an evening's first take. */
function firstNumber(/** @type {SetUp} */ { answers }) {
  return Number.parseInt(textOf(answers, "test.number"), 10) || 1;
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
  /** @type {Answers} */
  const changed = {};
  for (const [slot, part] of Object.entries(worn)) {
    const name = `test.configuration.${slot}`;
    const own = setUp.newParts[part];
    changed[name] = own ? NEW : part;
    for (const [key, answer] of Object.entries(own?.answers ?? {})) changed[`part.${name}.${key}`] = answer;
  }
  const numbers = { "test.number": String(firstNumber(setUp) + place), "test.conditions.order": String(place + 1) };
  return { ...setUp.answers, ...changed, ...answers, ...numbers };
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

/** What one evening does not share with the next. */
const OF_ONE_EVENING = /^(mask\b|part\.|test\.(mask|date|number|configuration|conditions\.ambient))/;

/**
 * What a new evening begins with: the answers that the last one gave and that stay the same.
 * @param {Answers} last
 * @param {string} today
 * @returns {Answers}
 */
export function sharedAnswers(last, today) {
  const shared = Object.entries(last).filter(([name]) => !OF_ONE_EVENING.test(name));
  return { ...Object.fromEntries(shared), "test.date": today, "test.number": "1" };
}

/**
 * A set-up whose takes are numbered on from those of other evenings of the same wearer, mask and day.
 * @param {SetUp} setUp
 * @param {Evening[]} others
 * @returns {SetUp}
 */
export function nextNumber(setUp, others) {
  const key = (/** @type {SetUp} */ { answers }) =>
    ["test.mask", "mask.model", "mask.size", "test.date", "test.face.wearer"].map((name) => textOf(answers, name).trim()).join("\n");
  const same = others.filter(({ state }) => key(state.setUp) === key(setUp));
  const last = Math.max(0, ...same.map(({ state }) => firstNumber(state.setUp) + state.takes.length - 1));
  if (last < firstNumber(setUp)) return setUp;
  return { ...setUp, answers: { ...setUp.answers, "test.number": String(last + 1) } };
}
