// From answers to files: the test, and the mask and parts that have no file yet, with what is wrong with them in words.
import { layoutOf, questionsIn } from "./layout.js";
import { idFrom, inPlay, NEW, newParts, placeOf, rowsOf } from "./names.js";
import { overallOf } from "./overall.js";
import { problemsOf, warningsOf } from "./rules.js";
import { fieldAt, valueOf } from "./schema.js";
import { toToml } from "./toml.js";

/**
 * @typedef {object} Outcome
 * @property {{path: string, text: string}[]} files below the repository's root
 * @property {Map<string, string>} problems by name of the question
 * @property {Map<string, string>} warnings what is allowed and should be looked at
 * @property {import("./overall.js").Overall | null} overall
 */

/** @type {WeakMap<object, Map<string, import("./layout.js").Question>>} */
const QUESTIONS = new WeakMap();
const NUMBER = { kind: "integer", minimum: 1, maximum: 9999, required: true, description: "" };
const HAIR_REASON = "hair at the seal";
const OPEN = "…";

/**
 * What a question may hold; null for a choice that no key of an entry holds.
 * @param {string} name
 * @param {any} known
 * @returns {import("./schema.js").Field | null}
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
function questionsOf(/** @type {any} */ known) {
  let questions = QUESTIONS.get(known);
  if (!questions) {
    questions = new Map(questionsIn(layoutOf(known)).map((question) => [question.name, question]));
    QUESTIONS.set(known, questions);
  }
  return questions;
}

/**
 * @param {import("./names.js").Answers} answers
 * @param {any} known what the site publishes for the form
 * @param {string} today ISO date
 * @returns {Outcome}
 */
export function entriesFrom(answers, known, today) {
  const problems = new Map();
  const [places, newMask] = [newParts(answers), answers["test.mask"] === NEW];
  const ids = new Map(places.map((place) => [place, ownId(answers, `part.${place}`, answers[`part.${place}.name`])]));
  if (newMask)
    ids.set("test.mask", ownId(answers, "mask", `${answers["mask.model"] ?? ""} ${answers["mask.size"] ?? ""}`));
  const asked = askedFor(answers, ids, known);
  const read = (/** @type {string} */ name) => table(name, { asked, answers, known, problems });

  const parts = places.map((place) => ({ place, id: ids.get(place), record: read(`part.${place}`) }));
  const mask = newMask ? { id: ids.get("test.mask"), record: read("mask") } : null;
  const test = read("test");
  const number = valueOf(NUMBER, answers["test.number"], known.patterns);
  if (number.problem) problems.set("test.number", number.problem);
  const isSound = () => ![...problems.keys()].some((name) => name.startsWith("test.result."));
  const refused = (/** @type {string} */ reason) => problems.set("test.result.counts", reason);
  const overall = isSound() ? attempted(() => overallOf(test.result), refused) : null;
  for (const [name, problem] of problemsOf({ answers, test, mask, parts }, known, today)) {
    if (!problems.has(name)) problems.set(name, problem);
  }

  const file = (kind, path, record) => ({
    path: `entries/${path}.toml`,
    text: toToml(known.schema_paths[kind], record),
  });
  const day = test.date?.toISOString().slice(0, 10);
  const named = [day, test.face.wearer, number.value].map((piece) => piece ?? OPEN).join("-");
  const files = [
    file("test", `tests/${test.mask ?? OPEN}/${named}`, test),
    ...(mask ? [file("mask", `masks/${mask.id || OPEN}`, mask.record)] : []),
    ...parts.map(({ id, record }) => file("part", `parts/${id || OPEN}`, record)),
  ];
  return { files, problems, warnings: warningsOf(test, known), overall: isSound() ? overall : null };
}

/** The id that was written, else one from the name. */
function ownId(/** @type {import("./names.js").Answers} */ answers, /** @type {string} */ name, text) {
  return (answers[`${name}.id`] ?? "").trim() || idFrom(text ?? "");
}

/** The answers to what is asked at all, with ids in place of what is new. */
function askedFor(answers, ids, known) {
  const asked = Object.fromEntries(Object.entries(answers).filter(([name]) => inPlay(name, answers)));
  for (const [name, id] of ids) asked[name] = id;
  for (const place of ids.keys()) if (place !== "test.mask") asked[`part.${place}.slot`] = place.split(".").at(-1);
  for (const row of rowsOf("test.result.exercise", asked)) {
    const name = `test.result.exercise.${row}`;
    // What was not measured is left out; whether it may be missing is for the rules to say.
    if (!asked[`${name}.fit_factor`]?.trim())
      for (const key of ["name", "fit_factor", "at_least"]) delete asked[`${name}.${key}`];
  }
  if (known.hair_at_seal.includes(asked["test.face.facial_hair"])) asked["test.result.set_aside"] ||= HAIR_REASON;
  return asked;
}

/** The record of an entry or of one of its tables, its keys in the schema's order; what is wrong goes to `problems`. */
function table(/** @type {string} */ name, { asked, answers, known, problems }) {
  const { kind, path } = placeOf(name);
  const record = {};
  for (const key of Object.keys(fieldAt(known.schemas[kind], path).properties)) {
    const at = `${name}.${key}`;
    const field = fieldOf(at, known);
    const read = (/** @type {string} */ inner) => table(inner, { asked, answers, known, problems });
    if (field.kind === "table") {
      const inner = field.required || answered(at, asked) ? read(at) : {};
      if (field.required || Object.keys(inner).length) record[key] = inner;
    } else if (field.kind === "tables") {
      const rows = rowsOf(at, asked).map((row) => read(`${at}.${row}`));
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
function answered(/** @type {string} */ name, asked) {
  return Object.keys(asked).some((other) => other.startsWith(`${name}.`) && asked[other]?.length > 0);
}

/** What a function gives; null and its reason told where it throws. */
function attempted(act, failed) {
  try {
    return act();
  } catch (error) {
    failed(error.message);
    return null;
  }
}
