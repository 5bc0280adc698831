// Puts all that was noted of each test into the lists of a mask's tests, once one of them is opened. The page itself has the
// figures alone, each of which leads to the file that says the same.
import { find, findAll, nodesOf } from "./elements.js";
import { Kept, load } from "./files.js";

/** @param {HTMLElement} root holds the lists */
export function start(root) {
  const lists = findAll(root, "details", HTMLDetailsElement);
  const file = new Kept(async (name) => fill(root, lists, /** @type {string[]} */ (await load(name))));
  const opened = () => {
    // Without it the figures stay, and the next list that is opened asks again.
    if (lists.some((list) => list.open)) file.get("tests.packed").catch(() => {});
  };
  for (const list of lists) list.addEventListener("toggle", opened);
  opened();
}

/**
 * @param {HTMLElement} root
 * @param {HTMLDetailsElement[]} lists
 * @param {string[]} tables the markup of each list's table
 */
function fill(root, lists, tables) {
  for (const [at, list] of lists.entries()) {
    if (tables[at]) find(list, "table", HTMLTableElement).replaceWith(...nodesOf(tables[at]));
  }
  // The test that the address names came just now.
  const { hash } = location;
  if (hash && root.contains(document.getElementById(decodeURIComponent(hash.slice(1))))) location.replace(hash);
}
