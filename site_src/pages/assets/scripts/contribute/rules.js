// What must hold across keys and files, as far as a browser can know: the checker's own rules, in its words.
import { inPlay, rowsOf } from "./names.js";
import { MISSING, valueOf } from "./schema.js";

const GRIMACE = "grimace";
const PSEUDONYM = "Write a pseudonym that means nothing, such as blue-heron.";
const OTHER_FACE = "Correct the one that is wrong; another face needs another pseudonym.";

/** @typedef {[name: string, problem: string]} Finding */

/**
 * @param {{answers: import("./names.js").Answers, test: any, mask: any, parts: any[]}} written
 * @param {any} known
 * @param {string} today
 * @returns {Generator<Finding>}
 */
export function* problemsOf({ answers, test, mask, parts }, known, today) {
  yield* dateProblems(test.date, known, today);
  yield* faceProblems(test.face, known);
  if (mask) {
    if (mask.id || mask.record.model) yield* idProblems("mask.id", mask.id, known.reserved.mask, known.masks, known);
    yield* sameMask(mask.record, known);
  }
  for (const [index, { place, id, record }] of parts.entries()) {
    // Without a name that is the problem.
    if (id || record.name)
      yield* idProblems(`part.${place}.id`, id, known.reserved.part, [...known.parts, ...parts.slice(0, index)], known);
  }
  yield* exerciseProblems(answers, test.result);
  yield* countProblems(test.result, known);
}

/**
 * What is allowed and still worth a second look.
 * @param {any} test
 * @param {any} known
 * @returns {Map<string, string>}
 */
export function warningsOf(test, known) {
  const warnings = new Map();
  const given = new RegExp(`^(?:${known.given_name})$`);
  for (const [name, pseudonym] of [
    ["test.contributor", test.contributor],
    ["test.face.wearer", test.face.wearer],
  ]) {
    if (given.test(pseudonym ?? "")) warnings.set(name, `${pseudonym} looks like a name. ${PSEUDONYM}`);
  }
  if (known.hair_at_seal.includes(test.face.facial_hair)) {
    warnings.set("test.face.facial_hair", "With hair at the seal this test will not count. The file says so.");
  }
  return warnings;
}

/** @returns {Generator<Finding>} */
function* dateProblems(date, known, today) {
  const day = date?.toISOString().slice(0, 10);
  if (day > today) yield ["test.date", `${day} lies in the future. Write the day of the test.`];
  if (day < known.earliest) yield ["test.date", `${day} is before ${known.earliest}. Write the day of the test.`];
}

/** @returns {Generator<Finding>} */
function* faceProblems(face, known) {
  const other = Object.hasOwn(known.wearers, face.wearer) ? known.wearers[face.wearer] : {};
  const measured = face.length_mm !== undefined && face.width_mm !== undefined;
  const says = (name, here, there) => {
    return [`test.face.${name}`, `${face.wearer} has ${here} here, but ${there} in the entries. ${OTHER_FACE}`];
  };
  if (measured && other.length_mm !== undefined) {
    const same = face.length_mm === other.length_mm && face.width_mm === other.width_mm;
    if (!same)
      yield says("length_mm", `${face.length_mm} × ${face.width_mm} mm`, `${other.length_mm} × ${other.width_mm} mm`);
  } else if (measured || face.cell !== undefined) {
    const cell = measured ? cellOf(face, known.cells) : String(face.cell);
    if (cell !== (other.cell ?? cell))
      yield says(measured ? "length_mm" : "cell", cellWords(cell), cellWords(other.cell));
  }
  const bridge = face.nose_bridge ?? other.nose_bridge;
  if (bridge !== (other.nose_bridge ?? bridge))
    yield says("nose_bridge", `a ${bridge} nose bridge`, `a ${other.nose_bridge} one`);
}

/** The panel cell of millimetres; on a limit that two cells share the later one. */
function cellOf({ length_mm: length, width_mm: width }, cells) {
  const within = (value, [low, high]) => low <= value && value <= high;
  return cells.findLast((cell) => within(length, cell.length) && within(width, cell.width))?.name ?? "outside";
}

function cellWords(/** @type {string} */ cell) {
  return cell === "outside" ? "a face outside the panel" : `cell ${cell}`;
}

/** @returns {Generator<Finding>} */
function* idProblems(name, id, reserved, others, known) {
  const { problem } = valueOf(
    { ...known.schemas.test.properties.mask, kind: "line", required: true },
    id,
    known.patterns,
  );
  if (problem === MISSING) yield [name, "No short name can be made from the name. Write one, such as blue-heron."];
  else if (problem) yield [name, problem];
  else if (reserved.includes(id)) yield [name, `No file can be called ${id}. Choose another short name.`];
  else if (others.some((other) => other.id === id))
    yield [name, `There is a file called ${id} already. Choose another short name.`];
}

/** @returns {Generator<Finding>} */
function* sameMask(mask, known) {
  const plain = (text = "") => text.toUpperCase().toLowerCase().split(/\s+/).join(" ");
  const key = ({ maker, model, size }) => JSON.stringify([plain(maker), plain(model), plain(size)]);
  const same = known.masks.find((other) => key(other) === key(mask));
  if (same)
    yield ["mask.model", `${same.label} is here already, of the same maker. Choose it, or tell the sizes apart.`];
}

/** @returns {Generator<Finding>} */
function* exerciseProblems(answers, result) {
  if (!inPlay("test.result.exercise", answers)) return;
  const rows = rowsOf("test.result.exercise", answers).map((row) => `test.result.exercise.${row}`);
  const value = (name) => (answers[`${name}.fit_factor`] ?? "").trim();
  const entering = (name) => answers[`${name}.name`] !== GRIMACE;
  for (const name of rows.filter((row) => !value(row))) {
    if (answers[`${name}.at_least`])
      yield [`${name}.fit_factor`, "This is at least nothing: add the fit factor that it is at least."];
    else if (entering(name) && !result.set_aside) yield [`${name}.fit_factor`, MISSING];
  }
  const asked = rows.some(entering) && !result.set_aside;
  if (!asked && !rows.some((name) => entering(name) && value(name))) {
    yield [
      "test.result.exercise",
      "The result holds no number. Add a fit factor to an exercise other than the grimace.",
    ];
  }
}

/** @returns {Generator<Finding>} */
function* countProblems(result, known) {
  const expected = known.protocols[result.protocol]?.steps.map((step) => step.exercise);
  const inMask = (result.counts ?? []).filter((stretch) => stretch.phase === "mask").map((stretch) => stretch.exercise);
  if (result.set_aside || !expected || !inMask.length || inMask.includes(undefined)) return;
  const missing = without(expected, inMask).filter((name) => name !== GRIMACE);
  const surplus = without(inMask, expected);
  const faults = [
    missing.length && `missing: ${missing.join(", ")}`,
    surplus.length && `too many: ${surplus.join(", ")}`,
  ];
  if (missing.length || surplus.length) {
    const reason = `The exercises are not those of the protocol; ${faults.filter(Boolean).join("; ")}.`;
    yield ["test.result.counts", `${reason} Give all of them, or choose the protocol “Free”.`];
  }
}

/** The items of a list that are left when each of another list's has taken one away. */
function without(/** @type {string[]} */ list, /** @type {string[]} */ others) {
  const left = [...list];
  for (const item of others) if (left.includes(item)) left.splice(left.indexOf(item), 1);
  return left;
}
