// An evening as a picture to post: every donning, each change against as sold, and what to beware of.
import { between } from "../common/figures.js";
import { count, say } from "../common/say.js";
import { ratioLabel, verdictWords } from "../compare/verdict-words.js";
import { textOf } from "../contribute/names.js";
import { dotsPicture } from "./dots.js";
import { rowsOf } from "./found.js";

const WIDTH = 900;

/**
 * @param {import("./evening.js").State} state
 * @param {import("./told.js").Told} told
 * @param {import("./known.js").Known} known
 */
export function eveningPicture(state, told, known) {
  const { labels, bench } = known;
  const { setUp } = state;
  const { answers } = setUp;
  const rows = rowsOf(state, told, known);
  const about = [
    textOf(answers, "test.face.wearer").trim(),
    textOf(answers, "test.date"),
    labels.protocol(setUp),
    count("take", told.readings.length),
  ];
  const verdicts = told.verdicts.changes.map(({ configuration, found }) => {
    const clear = found.verdict === "clear";
    return say(clear ? "evening.change_clear" : "evening.change", {
      change: labels.change(setUp, told.worn.get(configuration) ?? {}),
      verdict: verdictWords(found),
      ratio: ratioLabel(found),
      interval: clear ? between(found.low99, found.high99) : between(found.low90, found.high90),
    });
  });
  return dotsPicture(rows, {
    width: WIDTH,
    title: labels.mask(setUp),
    head: [labels.mask(setUp), about.filter(Boolean).join(" · ")],
    lines: [...verdicts, say("bench_page.legend"), say("sheet.caution_one"), say("bench_page.data", { newest: bench.newest, digest: bench.digest })],
  });
}
