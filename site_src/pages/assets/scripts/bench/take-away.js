// What is taken away from an evening: its entries as an archive, a table for `sealbook add`.
import { zip } from "../common/zip.js";
import { textOf } from "../contribute/names.js";

/**
 * @typedef {import("./evening.js").State} State
 * @typedef {import("./known.js").Known} Known
 * @typedef {import("./told.js").Told} Told
 * @typedef {import("../contribute/toml.js").Table} Table
 */

/**
 * The files of all takes, each once: tests in order, then the mask and parts that have none yet.
 * @param {Told} told
 */
export function filesOf({ outcomes }) {
  const files = new Map(outcomes.flatMap(({ outcome }) => outcome.files.map(({ path, text }) => [path, text])));
  const order = (/** @type {string} */ path) => (path.startsWith("entries/tests/") ? 0 : 1);
  return [...files].map(([path, text]) => ({ path, text })).sort((a, b) => order(a.path) - order(b.path));
}

export function archiveOf(/** @type {Told} */ told) {
  return zip(filesOf(told));
}

/**
 * A table of the takes with a figure, a row each, for `sealbook add`; and how many have none.
 * @param {Told} told
 * @param {Known} known
 */
export function tableOf({ outcomes }, { bench }) {
  const rows = outcomes.map(({ outcome }) => rowOf(outcome));
  const measured = rows.filter((row) => row.has("result.fit_factor"));
  const used = bench.columns.filter(([, key]) => measured.some((row) => row.has(key)));
  const lines = [used.map(([name]) => name), ...measured.map((row) => used.map(([, key]) => row.get(key) ?? ""))];
  return { text: `${lines.map(lineOf).join("\n")}\n`, without: rows.length - measured.length };
}

/** The texts of a take by the keys of its entry; what was computed stands for the lists that it was computed from. */
function rowOf(/** @type {import("../contribute/entries.js").Outcome} */ { test, overall }) {
  const row = new Map(texts(test, ""));
  if (overall) row.set("result.fit_factor", String(overall.fitFactor));
  if (overall?.atLeast) row.set("result.at_least", "yes");
  return row;
}

/** @returns {[string, string][]} */
function texts(/** @type {Table} */ table, /** @type {string} */ above) {
  return Object.entries(table).flatMap(([key, value]) => {
    const path = above ? `${above}.${key}` : key;
    if (value instanceof Date) return [[path, value.toISOString().slice(0, 10)]];
    if (Array.isArray(value)) {
      const plain = value.filter((one) => typeof one === "string");
      return plain.length ? [[path, plain.join("+")]] : [];
    }
    if (typeof value === "object") return texts(value, path);
    if (typeof value === "boolean") return [[path, value ? "yes" : "no"]];
    return [[path, String(value)]];
  });
}

/** A line of a table (RFC 4180). */
function lineOf(/** @type {string[]} */ cells) {
  return cells.map((cell) => (/[",\n\r]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(",");
}

/** What the files of an evening are called: day and wearer. */
export function nameOfFiles(/** @type {State} */ { setUp }) {
  return `${textOf(setUp.answers, "test.date")}-${textOf(setUp.answers, "test.face.wearer").trim()}`;
}
