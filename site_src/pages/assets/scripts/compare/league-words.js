// What a league of configurations says: the place of each as a range, and in one sentence who can be told apart.
import { count, say } from "../common/say.js";
import { ratioFigures } from "./ratio-rows.js";

/**
 * @typedef {import("./league.js").League} League
 * @typedef {import("./league.js").Placed} Placed
 */

/** "Place 1 to 3". */
function placeWords(/** @type {Placed} */ { best, worst }) {
  return best === worst ? say("league.place", { place: best }) : say("league.places", { best, worst });
}

/** The ratio to the first chosen with its interval, and the place. */
export function rowWords(/** @type {Placed} */ row) {
  const places = placeWords(row);
  if (!row.found) return say("chart.labelled", { label: say("league.measure"), figures: places });
  return say("league.row", { ratio: ratioFigures(row.found), places });
}

/**
 * Names each row: the mask only where there are several.
 * @param {League} league
 */
export function namesOf({ rows }) {
  const oneMask = new Set(rows.map(({ configuration }) => configuration.mask)).size === 1;
  return rows.map(({ configuration }) => (oneMask ? configuration.change : configuration.label));
}

/** Says in one sentence who can be told apart, and in another who is about the same. */
export function leagueSentence(/** @type {League} */ league) {
  const { rows, told, alike, comparisons } = league;
  const names = namesOf(league);
  const name = (/** @type {number} */ row) => say("league.name", { name: names[row] ?? "" });
  const over = [...new Set(told.map(([higher]) => higher))].map((higher) => {
    const worse = told.filter(([row]) => row === higher).map(([, lower]) => name(lower));
    return say("league.over", { better: name(higher), worse: worse.join(", ") });
  });
  const configurations = count("configuration", rows.length);
  const pairs = alike.map(([a, b]) => say("league.pair", { a: name(a), b: name(b) })).join("; ");
  const said = [
    told.length === 0
      ? say("league.none_told", { configurations })
      : say(told.length === comparisons ? "league.all_told" : "league.some_told", {
          told: over.join("; "),
          ...(told.length === comparisons ? { configurations } : {}),
        }),
    ...(pairs ? [say("league.alike", { pairs })] : []),
  ];
  return said.join(" ");
}
