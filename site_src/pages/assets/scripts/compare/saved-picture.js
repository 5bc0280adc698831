// The picture of a comparison for a file: what is compared, what was found, the ratios, every donning, where it is from.
import { say } from "../common/say.js";
import { donningsPanel } from "./drawing.js";
import { leaguePanel } from "./league-drawing.js";
import { leagueSentence } from "./league-words.js";
import { drawing, textPanel } from "./panels.js";
import { ratioPanel } from "./ratio-drawing.js";
import { ratioRows } from "./ratio-rows.js";
import { ratioText } from "./result-words.js";
import { verdictTexts } from "./result.js";

/** The same for everybody. */
const WIDTH = 900;

/**
 * @param {{rows: import("./measured.js").Shown[], others: import("./result.js").Against[],
 *   league: import("./league.js").League | null}} shown
 * @param {{title: string, hair: Record<string, string>, below: string[]}} about what stands above and below it
 */
export function savedPicture({ rows, others, league }, { title, hair, below }) {
  const [first] = rows;
  const [against] = others;
  const text = (/** @type {string[]} */ texts) => textPanel(texts, WIDTH);
  const muted = (/** @type {string[]} */ texts) => textPanel(texts, WIDTH, { size: 12, muted: true });
  const found = first && against ? verdictTexts(first.configuration, others) : [];
  const ratios = first && against && !league ? ratioRows(against.found, hair) : null;
  return drawing(
    WIDTH,
    [
      textPanel([title], WIDTH, { size: 20, bold: true, above: 12 }),
      text(league ? [leagueSentence(league), ...found] : found),
      ...(first && against && !league ? [text([ratioText(first.configuration, against.found)])] : []),
      { shapes: [], height: 12 },
      ...(league ? [leaguePanel(league, WIDTH), muted([say("league.about", { comparisons: league.comparisons })])] : []),
      ...(ratios?.each.length ? [ratioPanel(ratios, WIDTH), muted([say("ratios.legend")])] : []),
      { shapes: [], height: 12 },
      donningsPanel(rows, WIDTH),
      muted([say("compare.legend")]),
      muted(below),
      { shapes: [], height: 14 },
    ],
    title,
  );
}
