// Links beside each file of a page: to its test's place among the others, and to where it can be mended.
import { findAll, html } from "./elements.js";
import { say } from "./say.js";

/**
 * Adds the links to each heading, whose id is the test's anchor; `data-edit` names the folder where files are mended.
 * @param {HTMLElement} element
 */
export function start(element) {
  const folder = element.dataset.edit;
  for (const heading of findAll(element, "h2", HTMLElement)) {
    const file = `${heading.id}.toml`;
    heading.append(link(`../#${heading.id}`, say("source.test"), say("source.test_of", { file })));
    if (folder) heading.append(link(folder + file, say("source.improve"), say("source.improve_file", { file })));
  }
}

/**
 * @param {string} href
 * @param {string} text
 * @param {string} label
 */
function link(href, text, label) {
  return html("a", { href, "aria-label": label }, text);
}
