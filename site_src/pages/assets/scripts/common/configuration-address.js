// Where a configuration stands: a place on its mask's page, which the builder names alike (builder/site/addresses.py).

/**
 * Its address, from a page right below the root.
 * @param {string} id
 */
export function configurationAddress(id) {
  const [mask = ""] = id.split("+");
  return `../masks/${encodeURIComponent(mask)}/#${encodeURIComponent(id).replaceAll("%2B", "+")}`;
}
