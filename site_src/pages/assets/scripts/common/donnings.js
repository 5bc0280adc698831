// Makes a figure of a mask's donnings for the chart library: a line and dots for each wearer, above the medians.
import { rowsFromColumns } from "./columns.js";
import { fit } from "./figures.js";
import { say } from "./say.js";

/** Size of a triangle, which looks smaller than a dot. */
const TRIANGLE = 12;

/**
 * @param {Published.Donnings} published
 * @returns {Plotly.Figure}
 */
export function donningsFigure({ layout, medians, changes, sold, size, dots }) {
  /** @type {Map<string, Published.PlacedDonning[]>} */
  const wearers = new Map();
  for (const dot of rowsFromColumns(dots)) {
    const own = wearers.get(dot.wearer);
    if (own) own.push(dot);
    else wearers.set(dot.wearer, [dot]);
  }
  const traces = [...wearers].map(([wearer, own]) => ({
    type: "scatter",
    mode: "lines+markers",
    name: wearer,
    x: own.map((dot) => dot.fit_factor),
    y: own.map((dot) => dot.height),
    cliponaxis: false,
    line: { color: "var(--sb-thread)", width: 1 },
    marker: {
      color: own.map((dot) => (sold[dot.row] ? "var(--sb-sold)" : "var(--sb-changed)")),
      symbol: own.map((dot) => (dot.at_least ? "triangle-right" : "circle")),
      size: own.map((dot) => (dot.at_least ? TRIANGLE : size)),
      opacity: 1,
      line: { color: "var(--sb-paper)", width: 1 },
    },
    hovertemplate: medians.hovertemplate,
    customdata: own.map((dot) => words(dot, changes[dot.row] ?? "")),
  }));
  return { data: [medians, ...traces], layout };
}

/**
 * What a dot says, with the markup of the chart library.
 * @param {Published.PlacedDonning} dot
 * @param {string} change
 */
function words({ fit_factor: value, at_least: atLeast, wearer, date, face }, change) {
  return say("chart.donning", { figure: fit(value, atLeast === 1), change, wearer, date, face });
}
