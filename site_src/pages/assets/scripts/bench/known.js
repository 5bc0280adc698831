// What the bench page knows of the database, and what follows from it for an evening.
import { load } from "../common/files.js";
import { textOf } from "../contribute/names.js";
import { Labels } from "./labels.js";

/**
 * @typedef {object} Known
 * @property {Published.Form} form
 * @property {Published.Bench} bench
 * @property {Labels} labels
 * @property {() => string} today the day where the reader is
 */

/** @returns {Promise<Known>} */
export async function loadKnown() {
  const [form, bench] = await Promise.all([load("../contribute/form.json"), load("known.json")]);
  const [knownForm, knownBench] = [/** @type {Published.Form} */ (form), /** @type {Published.Bench} */ (bench)];
  return { form: knownForm, bench: knownBench, labels: new Labels(knownForm, knownBench), today };
}

function today() {
  const now = new Date();
  return new Date(now.valueOf() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

/**
 * How far donnings of the evening's wearer scatter.
 * @param {Known} known
 * @param {import("./evening.js").SetUp} setUp
 * @returns {import("../statistics/evening-arms.js").Known}
 */
export function scatterOf({ bench }, { answers }) {
  const wearer = textOf(answers, "test.face.wearer").trim();
  const own = Object.hasOwn(bench.wearers, wearer) ? bench.wearers[wearer] : undefined;
  return { scatter: bench.scatter, wearer: own ?? bench.stranger };
}
