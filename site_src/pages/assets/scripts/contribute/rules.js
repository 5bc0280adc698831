// What must hold across keys and files, as far as a browser can know: the checker's own rules, in its words.
import { cellOf } from "../common/panel.js";
import { say } from "../common/say.js";
import { GRIMACE } from "../logs/sampled-air.js";
import { inPlay, rowsOf, textOf } from "./names.js";
import { both, fieldAt, valueOf } from "./schema.js";

/**
 * @typedef {import("./names.js").Answers} Answers
 * @typedef {import("./overall.js").Result} Result
 * @typedef {{name: string, problem: string}} Finding the question it is about, and what is wrong
 *
 * @typedef {object} Face
 * @property {string} [wearer]
 * @property {number} [length_mm]
 * @property {number} [width_mm]
 * @property {number} [cell]
 * @property {string} [nose_bridge]
 * @property {string} [facial_hair]
 *
 * @typedef {object} Test as far as it was written
 * @property {string} [mask]
 * @property {Date} [date]
 * @property {string} [contributor]
 * @property {Face} face
 * @property {Result} result
 *
 * @typedef {{model?: string, maker?: string, size?: string}} Mask
 * @typedef {{place: string, id: string, record: {name?: unknown}}} NewPart with the slot it is for
 */

/**
 * @param {{answers: Answers, test: Test, mask: {id: string, record: Mask} | null, parts: NewPart[]}} written
 * @param {Published.Form} known
 * @param {string} today
 * @returns {Generator<Finding>}
 */
export function* problemsOf({ answers, test, mask, parts }, known, today) {
  yield* dateProblems(test.date, known, today);
  yield* faceProblems(test.face, known);
  if (mask) {
    if (mask.id || mask.record.model) yield* idProblems("mask.id", mask.id, known.reserved.mask, known.masks, known);
    yield* maskProblems(mask.record, known);
  }
  for (const [index, { place, id, record }] of parts.entries()) {
    const others = [...known.parts, ...parts.slice(0, index)];
    // Without a name that is the problem.
    if (id || record.name) yield* idProblems(`part.${place}.id`, id, known.reserved.part, others, known);
  }
  yield* exerciseProblems(answers, test.result);
  yield* countProblems(test.result, known);
}

/**
 * What is allowed and still worth a second look.
 * @param {Test} test
 * @param {Published.Form} known
 * @returns {Map<string, string>}
 */
export function warningsOf(test, known) {
  const warnings = new Map();
  const given = new RegExp(`^(?:${known.given_name})$`);
  const pseudonyms = { "test.contributor": test.contributor, "test.face.wearer": test.face.wearer };
  for (const [name, pseudonym = ""] of Object.entries(pseudonyms)) {
    if (given.test(pseudonym)) warnings.set(name, both(say("checker.like_name", { pseudonym }), say("checker.pseudonym_remedy")));
  }
  if (known.hair_at_seal.includes(test.face.facial_hair ?? "")) warnings.set("test.face.facial_hair", say("form.problem.hair"));
  return warnings;
}

/**
 * @param {Date | undefined} date
 * @param {Published.Form} known
 * @param {string} today
 * @returns {Generator<Finding>}
 */
function* dateProblems(date, known, today) {
  if (!date) return;
  const day = date.toISOString().slice(0, 10);
  const remedy = say("form.problem.day_remedy");
  if (day > today) yield { name: "test.date", problem: both(say("checker.in_future", { day, today }), remedy) };
  if (day < known.earliest) {
    yield { name: "test.date", problem: both(say("checker.too_early", { day, earliest: known.earliest }), remedy) };
  }
}

/**
 * @param {Face} face
 * @param {Published.Form} known
 * @returns {Generator<Finding>}
 */
function* faceProblems(face, known) {
  const { wearer = "", length_mm: length, width_mm: width } = face;
  const other = Object.hasOwn(known.wearers, wearer) ? (known.wearers[wearer] ?? {}) : {};
  const measured = length !== undefined && width !== undefined;
  const says = (/** @type {keyof Face} */ key, /** @type {string} */ here, /** @type {string} */ there) => {
    const place = say("form.problem.the_entries");
    const problem = both(say("checker.other_face", { wearer, here, there, place }), say("checker.other_face_remedy"));
    return { name: `test.face.${key}`, problem };
  };
  if (measured && other.length_mm !== undefined) {
    const same = length === other.length_mm && width === other.width_mm;
    if (!same) yield says("length_mm", sizeWords(length, width), sizeWords(other.length_mm, other.width_mm ?? NaN));
  } else if (measured || face.cell !== undefined) {
    const cell = measured ? cellOf(length, width, known.cells) : String(face.cell);
    if (other.cell !== undefined && cell !== other.cell)
      yield says(measured ? "length_mm" : "cell", cellWords(cell), cellWords(other.cell));
  }
  const { nose_bridge: bridge } = face;
  if (bridge !== undefined && other.nose_bridge !== undefined && bridge !== other.nose_bridge)
    yield says("nose_bridge", bridgeWords(bridge), bridgeWords(other.nose_bridge));
}

/**
 * @param {string} name
 * @param {string} id
 * @param {string[]} refused
 * @param {{id: string}[]} others
 * @param {Published.Form} known
 * @returns {Generator<Finding>}
 */
function* idProblems(name, id, refused, others, known) {
  const { problem } = valueOf(fieldAt(known.schemas.test, ["mask"]), id, known.patterns);
  if (problem === say("form.problem.missing")) yield { name, problem: say("form.problem.no_short_name") };
  else if (problem) yield { name, problem };
  else if (refused.includes(id)) yield { name, problem: say("form.problem.reserved", { id }) };
  else if (others.some((other) => other.id === id)) yield { name, problem: say("form.problem.taken", { id }) };
}

/**
 * @param {Mask} mask
 * @param {Published.Form} known
 * @returns {Generator<Finding>}
 */
function* maskProblems(mask, known) {
  const folded = (text = "") => text.toUpperCase().toLowerCase().split(/\s+/).join(" ");
  const key = (/** @type {Mask} */ { maker, model, size }) =>
    JSON.stringify([folded(maker), folded(model), folded(size)]);
  const same = known.masks.find((other) => key(other) === key(mask));
  if (same) yield { name: "mask.model", problem: say("form.problem.same_mask", { label: same.label }) };
}

/**
 * @param {Answers} answers
 * @param {Result} result
 * @returns {Generator<Finding>}
 */
function* exerciseProblems(answers, result) {
  if (!inPlay("test.result.exercise", answers)) return;
  const rows = rowsOf("test.result.exercise", answers).map((row) => `test.result.exercise.${row}`);
  const value = (/** @type {string} */ name) => textOf(answers, `${name}.fit_factor`).trim();
  const exerciseOf = (/** @type {string} */ name) => textOf(answers, `${name}.name`);
  const entering = (/** @type {string} */ name) => exerciseOf(name) !== GRIMACE;
  for (const name of rows.filter((row) => !value(row))) {
    if (answers[`${name}.at_least`]) yield { name: `${name}.fit_factor`, problem: atLeastNothing(exerciseOf(name)) };
    else if (entering(name) && !result.set_aside) yield { name: `${name}.fit_factor`, problem: say("form.problem.missing") };
  }
  const asked = rows.some(entering) && !result.set_aside;
  if (!asked && !rows.some((name) => entering(name) && value(name))) {
    const problem = both(say("checker.no_number"), say("form.problem.no_number_remedy"));
    yield { name: "test.result.exercise", problem };
  }
}

/**
 * @param {Result} result
 * @param {Published.Form} known
 * @returns {Generator<Finding>}
 */
function* countProblems(result, known) {
  const expected = known.protocols[result.protocol ?? ""]?.steps.map((step) => step.exercise);
  const inMask = (result.counts ?? []).filter((stretch) => stretch.phase === "mask");
  const done = inMask.flatMap(({ exercise }) => (exercise ? [known.stands_for[exercise] ?? exercise] : []));
  if (result.set_aside || !expected || !inMask.length || done.length < inMask.length) return;
  const missing = without(expected, done).filter((name) => name !== GRIMACE);
  const surplus = without(done, expected);
  if (missing.length || surplus.length) yield { name: "test.result.counts", problem: otherExercises(result.protocol ?? "", missing, surplus) };
}

/** The items of a list that are left when each of another list's has taken one away. */
function without(/** @type {string[]} */ list, /** @type {string[]} */ others) {
  const left = [...list];
  for (const item of others) if (left.includes(item)) left.splice(left.indexOf(item), 1);
  return left;
}

/** "117 × 138 mm". */
function sizeWords(/** @type {number} */ length, /** @type {number} */ width) {
  return say("checker.face_size", { length, width });
}

function cellWords(/** @type {string} */ cell) {
  return cell === "outside" ? say("form.problem.outside") : say("checker.face_cell", { cell });
}

function bridgeWords(/** @type {string} */ bridge) {
  return say("checker.face_bridge", { bridge });
}

function atLeastNothing(/** @type {string} */ exercise) {
  return both(say("checker.at_least_nothing", { exercise }), say("form.problem.at_least_remedy"));
}

/**
 * @param {string} protocol
 * @param {string[]} missing
 * @param {string[]} surplus
 */
function otherExercises(protocol, missing, surplus) {
  const faults = [
    ...(missing.length ? [say("checker.missing", { exercises: tallied(missing) })] : []),
    ...(surplus.length ? [say("checker.surplus", { exercises: tallied(surplus) })] : []),
  ].join("; ");
  return both(say("checker.other_exercises", { protocol, faults }), say("form.problem.exercises_remedy"));
}

/** Exercises with how often each stands there: "talking ×2". */
function tallied(/** @type {string[]} */ exercises) {
  return [...new Set(exercises)]
    .map((name) => ({ name, times: exercises.filter((other) => other === name).length }))
    .map(({ name, times }) => (times > 1 ? `${name} ×${times}` : name))
    .join(", ");
}
