// The evenings that this browser keeps.
import { html, withDays } from "../common/elements.js";
import { count, say } from "../common/say.js";
import { textOf } from "../contribute/names.js";
import { button, mainButton } from "./buttons.js";

/** @typedef {import("./evening.js").Evening} Evening */

/**
 * @param {Evening[]} evenings
 * @param {import("./known.js").Known} known
 * @param {{begin: () => void, open: (evening: Evening) => void, remove: (evening: Evening) => void}} act
 */
export function home(evenings, { labels }, { begin, open, remove }) {
  const items = evenings.map((evening) => {
    const { setUp, editing, takes } = evening.state;
    const { answers } = editing ?? setUp;
    const [mask, wearer, date] = [labels.mask(editing ?? setUp), textOf(answers, "test.face.wearer"), textOf(answers, "test.date")];
    const named = [mask || say("bench_page.no_mask_yet"), wearer, date].filter(Boolean).join(" · ");
    const opener = button(named, () => open(evening));
    opener.replaceChildren(...withDays(named));
    opener.classList.add("sb-bench__open");
    const done = editing && !takes.length ? say("bench_page.not_begun") : count("take", takes.length);
    return html(
      "li",
      {},
      opener,
      html("span", { class: "sb-muted" }, done),
      button(say("compare.remove"), () => remove(evening), named),
    );
  });
  return html(
    "section",
    { class: "sb-bench__home" },
    html("p", {}, mainButton(say("bench_page.start"), begin)),
    ...(items.length
      ? [
          html("h2", { tabindex: -1 }, say("bench_page.evenings")),
          html("p", { class: "sb-muted" }, say("bench_page.evenings_about")),
          html("ul", { class: "sb-bench__evenings" }, ...items),
        ]
      : []),
  );
}
