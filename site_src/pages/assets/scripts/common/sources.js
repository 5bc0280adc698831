// Links beside each file of a page: to its test's place among the others, and to where it can be mended.
import { html } from "./elements.js";

/** @param {HTMLElement} element Holds a heading a file, whose id is the test's anchor; `data-edit` names the folder. */
export function start(element) {
  const folder = element.dataset.edit;
  for (const heading of element.querySelectorAll("h2")) {
    const file = `${heading.id}.toml`;
    heading.append(" ", html("a", { href: `../#${heading.id}`, "aria-label": `Test of ${file}` }, "test"));
    if (!folder) continue;
    heading.append(" ", html("a", { href: folder + file, "aria-label": `Improve ${file}` }, "improve this"));
  }
}
