// What opens below a row of the explorer: every donning of the configuration, wearer by wearer.
import { html } from "../common/elements.js";
import { rowsFromColumns } from "../common/columns.js";
import { fit } from "../common/figures.js";
import { Kept, load, atRoot } from "../common/files.js";
import { say } from "../common/say.js";

/** @typedef {import("./rows.js").Row} Row */

const files = new Kept(async (mask) => {
  const measured = /** @type {Published.MaskMeasured} */ (await load(atRoot(`../compare/masks/${encodeURIComponent(mask)}.packed`)));
  return rowsFromColumns(measured.tests);
});

/**
 * A list of a row's donnings, those of the method that the row is over; a sentence where they do not come.
 * @param {Row} row
 */
export async function donningsOf(row) {
  try {
    const tests = (await files.get(row.mask)).filter(({ configuration, method }) => configuration === row.id && (!row.method || method === row.method));
    const wearers = [...new Set(tests.map(({ wearer }) => wearer))].sort();
    const lines = wearers.map((wearer) => {
      const own = tests.filter((test) => test.wearer === wearer).sort((a, b) => b.fit_factor - a.fit_factor);
      const figures = own.map((test) => fit(test.fit_factor, test.at_least === 1));
      return html("li", {}, html("bdi", {}, wearer), html("span", {}, figures.join(" · ")));
    });
    return html("div", {}, html("p", { class: "sb-muted" }, say("explore.donnings")), html("ul", {}, ...lines));
  } catch {
    return html("p", {}, say("explore.no_donnings"));
  }
}
