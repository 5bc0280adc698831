// A mask's figures over the wearers of one face type alone, worked out from the donnings that its chart is made from.
import { summaryOf } from "../statistics/summaries.js";
import { rowsFromColumns } from "./columns.js";
import { fit } from "./figures.js";
import { count, say } from "./say.js";

/** Name of the texts below a row's name in the chart's layout. */
const FIGURES = "sb-donnings__figures";

/** @typedef {import("./face-type.js").FaceType} FaceType */

/**
 * @typedef {object} OverFaces
 * @property {Published.PlacedDonning[]} dots
 * @property {number} wearers
 * @property {(Published.Figures | null)[]} figures of each row of the chart; null where nobody with such a face tried it
 */

/**
 * @param {Published.Donnings} published
 * @param {FaceType} type
 * @returns {OverFaces}
 */
export function overFaces({ ids, dots }, { cell, bridge }) {
  const own = rowsFromColumns(dots).filter((dot) => (!cell || dot.cell === cell) && (!bridge || dot.bridge === bridge));
  const figures = ids.map((_, row) => {
    /** @type {Map<string, number[]>} */
    const readings = new Map();
    for (const dot of own) {
      if (dot.row !== row) continue;
      const signed = dot.at_least ? -dot.fit_factor : dot.fit_factor;
      readings.set(dot.wearer, [...(readings.get(dot.wearer) ?? []), signed]);
    }
    return readings.size ? summaryOf([...readings.values()]) : null;
  });
  return { dots: own, wearers: new Set(own.map(({ wearer }) => wearer)).size, figures };
}

/** What stands below a row's name. */
export function rowWords(/** @type {Published.Figures | null} */ figures) {
  if (!figures) return say("face_type.nobody");
  const median = fit(figures.median_fit_factor, figures.median_at_least);
  return say("chart.row", { median, donnings: count("donning", figures.tests), wearers: count("wearer", figures.wearers) });
}

/**
 * What a figure to look into is made from, with these faces alone.
 * @param {Published.Donnings} published
 * @param {FaceType} type
 * @returns {Published.Donnings}
 */
export function ofFaceType(published, type) {
  const { dots, figures } = overFaces(published, type);
  const texts = figures.map(rowWords);
  const annotations = published.layout.annotations.map((part) => (part.name === FIGURES ? { ...part, text: texts.shift() ?? "" } : part));
  const { medians } = published;
  return {
    ...published,
    layout: { ...published.layout, annotations },
    medians: { ...medians, x: figures.map((own) => own && own.median_fit_factor), customdata: figures.map(rowWords) },
    dots: columnsFrom(dots),
  };
}

/** @returns {Published.Columns<Published.PlacedDonning>} */
function columnsFrom(/** @type {Published.PlacedDonning[]} */ dots) {
  return {
    wearer: dots.map(({ wearer }) => wearer),
    face: dots.map(({ face }) => face),
    cell: dots.map(({ cell }) => cell),
    bridge: dots.map(({ bridge }) => bridge),
    date: dots.map(({ date }) => date),
    row: dots.map(({ row }) => row),
    fit_factor: dots.map((dot) => dot.fit_factor),
    at_least: dots.map((dot) => dot.at_least),
    height: dots.map(({ height }) => height),
  };
}
