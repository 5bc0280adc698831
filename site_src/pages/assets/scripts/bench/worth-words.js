// Whether one more donning is worth it, in the sentence that `sealbook bench` says (builder/words/evening_words.py).
import { chanceText } from "../common/chances.js";
import { count, say } from "../common/say.js";
import { LEVELS } from "../words/levels.js";

/**
 * @param {import("../statistics/one-more-donning.js").WorthIt} worth
 * @param {import("../statistics/verdicts.js").Judgement} found
 * @param {string} change the changed parts
 */
export function worthSentence(worth, found, change) {
  const donning = worth.fewer === "a" ? say("label.as_sold") : say("set_up.changed", { change });
  const next = worth[worth.fewer].chance;
  const said = say(next >= LEVELS.worth_one_more ? "evening.worth_it" : "evening.not_worth_it", {
    donning,
    chance: chanceText(next),
    each: chanceText(worth.each.chance),
  });
  if (found.verdict !== "cannot-tell" || !worth.forSeen) return said;
  return `${said} ${say("evening.for_seen", { donnings: count("more_donning", worth.forSeen) })}`;
}
