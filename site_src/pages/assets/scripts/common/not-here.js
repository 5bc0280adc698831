// What to do where nothing is found: ask for it, or add it.
import { html } from "./elements.js";
import { PAGES } from "./files.js";
import { pieces, say } from "./say.js";

/** A sentence with its two ways. */
export function notHere() {
  const way = (/** @type {string} */ to, /** @type {string} */ text) => html("a", { href: new URL(to, PAGES).href }, text);
  const ways = { ask: way("contribute/#ask", say("search.ask")), add: way("contribute/", say("search.add")) };
  const said = pieces("search.not_here", ways);
  return html("p", { class: "sb-not-here" }, ...said);
}
