// Links beside each file of a page: to its test's place among the others, and to where it can be mended.
import { findAll, html } from "./elements.js";
import { say } from "./say.js";

/**
 * Adds the links to each heading, whose id is the test's anchor; `data-edit` names the folder where files are mended.
 * @param {HTMLElement} element
 */
export function start(element) {
  const folder = element.dataset.edit;
  const tests = listOf(new URL("../", location.href).href, document.referrer);
  for (const heading of findAll(element, "h2", HTMLElement)) {
    const file = `${heading.id}.toml`;
    heading.append(link(`${tests}#${heading.id}`, say("source.test"), say("source.test_of", { file })));
    if (folder) heading.append(link(folder + file, say("source.improve"), say("source.improve_file", { file })));
  }
}

/**
 * Where the mask's tests are listed: on its page in the language that the reader comes from, for files stand once.
 * @param {string} own the page in this language
 * @param {string} from
 */
function listOf(own, from) {
  if (!from.startsWith(`${location.origin}/`)) return own;
  const page = new URL(own).pathname.split("/").slice(-3).join("/");
  const { pathname } = new URL(from);
  return pathname.endsWith(`/${page}`) ? pathname : own;
}

/**
 * @param {string} href
 * @param {string} text
 * @param {string} label
 */
function link(href, text, label) {
  return html("a", { href, "aria-label": label }, text);
}
