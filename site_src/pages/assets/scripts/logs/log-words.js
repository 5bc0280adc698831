// The words of a log, whatever the counter or the person calls them: columns, units, phases, exercises.
import { LOGS } from "../words/logs.js";
import { stripped, wordsOf } from "./log-text.js";

/**
 * @typedef {"seconds" | "start" | "date" | "duration" | "phase" | "exercise" | "particles" | "concentration" | "flow_cm3_s"
 *   | "inside" | "outside"} Role what a column holds
 * @typedef {"particles" | "concentration" | "rate" | "mass"} Measure what a column of readings holds
 *
 * @typedef {object} NamedColumn what the name of a column says
 * @property {Role} role
 * @property {Measure | null} measure
 * @property {number} factor makes the usual unit of it
 * @property {number} rank lowest for the plainest name
 *
 * @typedef {{phase: string, exercise: string}} SaidPhase
 * @typedef {{kind: string, factor: number}} Unit
 */

const { words } = LOGS;
const MARKS = /[\s_\-/:;.,()[\]{}+&|#*=]+/gu;
const NUMBERED = /\d+$/u;
const BRACKETS = /[([{]([^()[\]{}]*)[)\]}]/u;
const ALL_BRACKETS = /[([{]([^()[\]{}]*)[)\]}]/gu;
const PER = /^(.*?)[\s_,/]+(?:in\s+)?((?:#|[\p{L}\p{N}_]+)?\s?(?:\/|per)\s?\S+|\S+)$/u;
const SAME = new Map(Object.entries({ "³": "3", "²": "2", µ: "u", μ: "u", "⁻": "-" }));
const LEFT_OUT = /[ .^*\u00a0]/g;
const UNRANKED = 1000;

/** @type {Map<string, {role: Role, rank: number}>} */
const COLUMNS = new Map(
  Object.entries(words.columns).flatMap(([role, names]) =>
    names.map((name, rank) => [name, { role: /** @type {Role} */ (role), rank }]),
  ),
);
const PLACES = inverted(words.places);
const PHASES = inverted(words.phases);
const ALONE = inverted(words.phases_alone);
const EXERCISES = new Map(
  Object.entries(words.exercises).flatMap(([exercise, names]) => [...names, exercise].map((name) => [plain(name), exercise])),
);
const BESIDE_PLACE = new Set(words.beside.place);
const FILLERS = new Set(words.beside.phase);
/** @type {Map<string, Unit>} */
const UNITS = new Map(
  Object.entries(words.units).flatMap(([kind, factors]) =>
    factors.flatMap(([factor, names]) => names.map((name) => [name, { kind, factor }])),
  ),
);

/**
 * What the name of a column means, with its unit in it or apart; null where it means nothing here.
 * @param {string} name
 * @param {string} [apart]
 * @returns {NamedColumn | null}
 */
export function namedColumn(name, apart = "") {
  const text = stripped(name).toLowerCase();
  const unit = apart.replace(ALL_BRACKETS, "$1");
  const bracket = BRACKETS.exec(text)?.[1];
  if (bracket !== undefined) {
    const without = plain(text.replace(ALL_BRACKETS, " "));
    return (
      named(without, unitOf(unit || bracket)) ??
      (without ? named(plain(text), null) : null) ??
      (unitOf(bracket) ? null : named(without, null))
    );
  }
  const found = named(plain(text), unitOf(unit));
  if (found) return found;
  const alone = unitOf(text);
  if (alone) return named("", alone);
  const parts = PER.exec(text);
  const said = parts && unitOf(parts[2] ?? "");
  return said ? named(plain(parts[1] ?? ""), said) : null;
}

/** What a unit measures, and the factor that makes the usual unit of it; null for no unit. */
export function unitFactor(/** @type {string} */ text) {
  return unitOf(text.replace(ALL_BRACKETS, "$1"));
}

/**
 * A phase, an exercise, or both in one cell; null where a word is not known.
 * An exercise alone was done in the mask. A flushed hose counts for nothing, whatever else is said.
 * @param {string} text
 * @returns {SaidPhase | null}
 */
export function saidPhase(text) {
  const spoken = unnumbered(plain(text.toLowerCase()));
  const alone = spoken.length === 1 ? ALONE.get(spoken[0] ?? "") : undefined;
  if (alone) return { phase: alone, exercise: "" };
  /** @type {string[]} */
  const phases = [];
  /** @type {Set<string>} */
  const exercises = new Set();
  const known = eachPart(spoken, (part) => {
    const exercise = EXERCISES.get(part);
    const phase = PHASES.get(part);
    if (exercise !== undefined) exercises.add(exercise);
    else if (phase !== undefined) phases.push(phase);
    else return FILLERS.has(part);
    return true;
  });
  if (!known) return null;
  if (phases.includes("purge")) return { phase: "purge", exercise: "" };
  const special = phases.filter((one) => one !== "ambient" && one !== "mask");
  const phase = special[0] ?? phases[0] ?? "";
  const plainOnes = new Set(phases.filter((one) => !special.includes(one)));
  if ((!phase && !exercises.size) || exercises.size > 1 || plainOnes.size > 1) return null;
  return { phase: phase || "mask", exercise: [...exercises][0] ?? "" };
}

/** @returns {NamedColumn | null} */
function named(/** @type {string} */ name, /** @type {Unit | null} */ unit) {
  const { kind, factor } = unit ?? { kind: "", factor: 1 };
  const measure = measureOf(kind);
  const { role, rank } = COLUMNS.get(name) ?? { role: undefined, rank: UNRANKED };
  if (role === "particles" || role === "concentration" || (!name && measure)) {
    if (kind && !measure) return null;
    const of = measure ?? (role === "particles" ? "particles" : "concentration");
    return { role: of === "particles" || of === "rate" ? "particles" : "concentration", measure: of, factor, rank };
  }
  if (!name && kind === "seconds") return { role: "seconds", measure: null, factor, rank: UNRANKED };
  if (role) {
    const fitting = { seconds: "seconds", start: "seconds", duration: "seconds", flow_cm3_s: "flow" };
    const fits = kind === "" || kind === (role in fitting ? fitting[/** @type {keyof typeof fitting} */ (role)] : undefined);
    return fits ? { role, measure: null, factor, rank } : null;
  }
  return name && (measure || !kind) ? placed(name, measure, factor) : null;
}

/**
 * A name that says of which air a column is, such as "ambient conc".
 * @param {string} name
 * @param {Measure | null} measure
 * @param {number} factor
 * @returns {NamedColumn | null}
 */
function placed(name, measure, factor) {
  /** @type {string | undefined} */
  let place;
  let of = measure;
  const known = eachPart(unnumbered(name), (part) => {
    const here = PLACES.get(part);
    const said = measureOf(COLUMNS.get(part)?.role ?? "");
    if (here && (place === undefined || place === here)) place = here;
    else if (said) of ??= said;
    else return BESIDE_PLACE.has(part);
    return true;
  });
  if (!known || !place) return null;
  return { role: /** @type {Role} */ (place), measure: of ?? "concentration", factor, rank: UNRANKED };
}

/**
 * Go through some words, each time the longest beginning that is understood. Whether all were.
 * @param {string[]} spoken
 * @param {(part: string) => boolean} understood
 */
function eachPart(spoken, understood) {
  let left = spoken;
  while (left.length) {
    let length = left.length;
    while (length && !understood(left.slice(0, length).join(" "))) length -= 1;
    if (!length) return false;
    left = left.slice(length);
  }
  return true;
}

/** @returns {Measure | null} */
function measureOf(/** @type {string} */ kind) {
  return kind === "particles" || kind === "concentration" || kind === "rate" || kind === "mass" ? kind : null;
}

/** @returns {Unit | null} */
function unitOf(/** @type {string} */ text) {
  const bare = [...stripped(text).toLowerCase()].map((one) => SAME.get(one) ?? one).join("");
  return UNITS.get(bare.replace(LEFT_OUT, "")) ?? null;
}

function plain(/** @type {string} */ text) {
  return wordsOf(text.replace(MARKS, " ")).join(" ");
}

function unnumbered(/** @type {string} */ text) {
  return wordsOf(text).map((word) => word.replace(NUMBERED, "")).filter(Boolean);
}

function inverted(/** @type {Record<string, string[]>} */ table) {
  return new Map(Object.entries(table).flatMap(([meaning, names]) => names.map((name) => [name, meaning])));
}
