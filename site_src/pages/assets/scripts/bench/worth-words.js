// Whether one more donning is worth it, in a sentence.
import { chanceText } from "../common/chances.js";
import { count, say } from "../common/say.js";

/**
 * @param {import("../statistics/one-more-donning.js").WorthIt} worth
 * @param {import("../statistics/verdicts.js").Judgement} found
 */
export function worthSentence(worth, found) {
  const next = worth[worth.fewer];
  const chance = chanceText(next.chance);
  const side = say(worth.fewer === "a" ? "bench_page.one_more_sold" : "bench_page.one_more_changed", { chance });
  if (found.verdict !== "cannot-tell") return side;
  if (worth.forSeen === null) return `${side} ${say("verdict.seen_too_many")}`;
  if (worth.forSeen === 0) return side;
  return `${side} ${say("bench_page.for_seen", { donnings: count("more_donning", worth.forSeen) })}`;
}
