// From answers to files: the test, and the mask and parts that have no file yet, with what is wrong with them in words.
import { layoutOf, questionsIn } from "./layout.js";
import { idFrom, inPlay, NEW, newParts, placeOf, rowsOf, textOf } from "./names.js";
import { overallOf } from "./overall.js";
import { problemsOf, warningsOf } from "./rules.js";
import { fieldAt, valueOf } from "./schema.js";
import { toToml } from "./toml.js";

/**
 * @typedef {import("./names.js").Answers} Answers
 * @typedef {import("./schema.js").Field} Field
 * @typedef {import("./toml.js").Table} Table
 * @typedef {import("./rules.js").Test} Test
 * @typedef {import("./rules.js").Mask} Mask
 *
 * @typedef {object} Outcome
 * @property {{path: string, text: string}[]} files below the repository's root
 * @property {Map<string, string>} problems by name of the question
 * @property {Map<string, string>} warnings what is allowed and should be looked at
 * @property {import("./overall.js").Overall | null} overall
 * @property {Table} test the record that the test's file holds
 */

/** @type {WeakMap<Published.Form, Map<string, import("./layout.js").Question>>} */
const QUESTIONS = new WeakMap();
/** @type {Field} */
const NUMBER = { kind: "integer", minimum: 1, maximum: 9999, required: true, description: "" };
const OPEN = "…";

/**
 * What a question may hold; null for a choice that no key of an entry holds.
 * @param {string} name
 * @param {Published.Form} known
 * @returns {Field | null}
 */
export function fieldOf(name, known) {
  const question = questionsOf(known).get(name);
  if (question?.choices) return null;
  if (name === "test.number") return NUMBER;
  // An id that nobody writes is made from the name.
  if (name.endsWith(".id")) return { ...fieldAt(known.schemas.test, ["mask"]), required: false };
  const { kind, path } = placeOf(name);
  const field = fieldAt(known.schemas[kind], path);
  // A stretch has the measure that is in play.
  const required = question?.required || /counts\.\d+\.(particles|concentration)$/.test(name);
  return required ? { ...field, required: true } : field;
}

/** The questions of the form by their names, laid out once. */
function questionsOf(/** @type {Published.Form} */ known) {
  let questions = QUESTIONS.get(known);
  if (!questions) {
    questions = new Map(questionsIn(layoutOf(known)).map((question) => [question.name, question]));
    QUESTIONS.set(known, questions);
  }
  return questions;
}

/**
 * @param {Answers} answers
 * @param {Published.Form} known what the site publishes for the form
 * @param {string} today ISO date
 * @returns {Outcome}
 */
export function entriesFrom(answers, known, today) {
  /** @type {Map<string, string>} */
  const problems = new Map();
  const newPlaces = newParts(answers).map((place) => ({
    place,
    id: ownId(answers, `part.${place}`, textOf(answers, `part.${place}.name`)),
  }));
  const maskName = `${textOf(answers, "mask.model")} ${textOf(answers, "mask.size")}`;
  const maskId = answers["test.mask"] === NEW ? ownId(answers, "mask", maskName) : null;
  const asked = askedFor(answers, newPlaces, maskId, known);
  const read = (/** @type {string} */ name) => table(name, { asked, answers, known, problems });

  const parts = newPlaces.map(({ place, id }) => ({ place, id, record: read(`part.${place}`) }));
  const maskRecord = maskId === null ? null : read("mask");
  const testRecord = read("test");
  // The schema says which keys of what kind these hold.
  const test = /** @type {Test} */ (/** @type {unknown} */ (testRecord));
  const mask = maskId === null ? null : { id: maskId, record: /** @type {Mask} */ (maskRecord) };
  const number = valueOf(NUMBER, answers["test.number"], known.patterns);
  if (number.problem) problems.set("test.number", number.problem);
  const isSound = () => ![...problems.keys()].some((name) => name.startsWith("test.result."));
  const refused = (/** @type {string} */ reason) => problems.set("test.result.counts", reason);
  const overall = isSound() ? attempted(() => overallOf(test.result), refused) : null;
  for (const { name, problem } of problemsOf({ answers, test, mask, parts }, known, today)) {
    if (!problems.has(name)) problems.set(name, problem);
  }

  const file = (/** @type {Published.Kind} */ kind, /** @type {string} */ path, /** @type {Table} */ record) => ({
    path: `entries/${path}.toml`,
    text: toToml(known.schema_paths[kind], record),
  });
  const day = test.date?.toISOString().slice(0, 10);
  const named = [day, test.face.wearer, number.value].map((piece) => piece ?? OPEN).join("-");
  const files = [
    file("test", `tests/${test.mask ?? OPEN}/${named}`, testRecord),
    ...(maskRecord ? [file("mask", `masks/${maskId || OPEN}`, maskRecord)] : []),
    ...parts.map(({ id, record }) => file("part", `parts/${id || OPEN}`, record)),
  ];
  return { files, problems, warnings: warningsOf(test, known), overall: isSound() ? overall : null, test: testRecord };
}

/** The id that was written, else one from the name. */
function ownId(/** @type {Answers} */ answers, /** @type {string} */ name, /** @type {string} */ text) {
  return textOf(answers, `${name}.id`).trim() || idFrom(text);
}

/**
 * The answers to what is asked at all, with ids in place of what is new.
 * @param {Answers} answers
 * @param {{place: string, id: string}[]} newPlaces slots with a part that has no file yet
 * @param {string | null} maskId of a mask that has none
 * @param {Published.Form} known
 * @returns {Answers}
 */
function askedFor(answers, newPlaces, maskId, known) {
  const asked = Object.fromEntries(Object.entries(answers).filter(([name]) => inPlay(name, answers)));
  for (const { place, id } of newPlaces) {
    asked[place] = id;
    asked[`part.${place}.slot`] = place.slice(place.lastIndexOf(".") + 1);
  }
  if (maskId !== null) asked["test.mask"] = maskId;
  for (const row of rowsOf("test.result.exercise", asked)) {
    const name = `test.result.exercise.${row}`;
    // What was not measured is left out; whether it may be missing is for the rules to say.
    if (!textOf(asked, `${name}.fit_factor`).trim())
      for (const key of ["name", "fit_factor", "at_least"]) delete asked[`${name}.${key}`];
  }
  const hair = textOf(asked, "test.face.facial_hair");
  if (known.hair_at_seal.includes(hair)) asked["test.result.set_aside"] ||= known.hair_reason;
  return asked;
}

/**
 * The record of an entry or of one of its tables, its keys in the schema's order; what is wrong goes to `problems`.
 * @param {string} name
 * @param {{asked: Answers, answers: Answers, known: Published.Form, problems: Map<string, string>}} from
 */
function table(name, from) {
  const { asked, answers, known, problems } = from;
  const { kind, path } = placeOf(name);
  /** @type {Table} */
  const record = {};
  for (const key of Object.keys(fieldAt(known.schemas[kind], path).properties ?? {})) {
    const at = `${name}.${key}`;
    const field = fieldOf(at, known);
    if (!field) continue;
    if (field.kind === "table") {
      const inner = field.required || answered(at, asked) ? table(at, from) : {};
      if (field.required || Object.keys(inner).length) record[key] = inner;
    } else if (field.kind === "tables") {
      const rows = rowsOf(at, asked).map((row) => table(`${at}.${row}`, from));
      if (rows.length) record[key] = rows;
    } else if (inPlay(at, answers)) {
      const { value, problem } = valueOf(field, asked[at], known.patterns);
      // An id that cannot be made is missing where the new mask or part is described.
      if (problem && answers[at] !== NEW) problems.set(at, problem);
      if (!problem && value !== undefined && value !== field.default) record[key] = value;
    }
  }
  return record;
}

/** Whether anything was answered that belongs to a table. */
function answered(/** @type {string} */ name, /** @type {Answers} */ asked) {
  return Object.entries(asked).some(
    ([other, answer]) => other.startsWith(`${name}.`) && typeof answer !== "boolean" && answer.length > 0,
  );
}

/**
 * What a function gives; null and its reason told where it throws.
 * @template Result
 * @param {() => Result} act
 * @param {(reason: string) => void} failed
 */
function attempted(act, failed) {
  try {
    return act();
  } catch (error) {
    failed(error instanceof Error ? error.message : String(error));
    return null;
  }
}
