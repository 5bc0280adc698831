// "People near you" among the explorer's filters: figures over the wearers whose face is like the reader's alone.
import { load, atRoot } from "../common/files.js";
import { keptFace } from "../common/kept-face.js";
import { near, placeOf, readPeople } from "../common/people.js";
import { summaryOf } from "../statistics/summaries.js";

/** @typedef {import("./rows.js").Row} Row */

// Every reader fetches the same files: no request tells of a face.
const FACES = "../faces/";
const WRITTEN = /^(?:(\d{2,3}(?:\.\d)?)x(\d{2,3}(?:\.\d)?)|cell-(10|[1-9]))(?:-(low|medium|high))?$/;

/**
 * The kept face as a link holds it, "117x138-high" or "cell-4"; "" for none.
 */
export function keptNear() {
  const kept = keptFace();
  if (!kept) return "";
  const place = kept.length && kept.width ? `${kept.length}x${kept.width}` : kept.cell && `cell-${kept.cell}`;
  const written = place && kept.bridge ? `${place}-${kept.bridge}` : place;
  return isNear(written) ? written : "";
}

/** Whether a text of an address is a face. */
export function isNear(/** @type {string} */ written) {
  return WRITTEN.test(written);
}

/**
 * The rows that wearers near a face have tried, every figure over their tests alone, and how many these wearers are.
 * @param {Row[]} rows
 * @param {string} written
 */
export async function nearRows(rows, written) {
  const [, length = "", width = "", cell = "", bridge = ""] = WRITTEN.exec(written) ?? [];
  const [people, panel] = await Promise.all([load(`${FACES}people.json`), load(atRoot(`${FACES}panel.json`))]);
  const { configurations, wearers } = readPeople(/** @type {Published.People} */ (people));
  const { cells } = /** @type {Published.Panel} */ (panel);
  const place = placeOf({ length: Number(length), width: Number(width), cell }, cells);
  const around = place ? near(wearers, place, bridge) : [];
  const figures = new Map(
    configurations.flatMap(({ id }, number) => {
      const readings = around.flatMap((one) => (one.readings.has(number) ? [one.readings.get(number) ?? []] : []));
      return readings.length ? [[id, summaryOf(readings)]] : [];
    }),
  );
  const over = rows.filter(({ id }) => figures.has(id)).map((row) => ({ ...row, ...figures.get(row.id) }));
  return { wearers: around.length, methods: 0, rows: over };
}
