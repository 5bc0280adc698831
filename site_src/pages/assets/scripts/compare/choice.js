// Which configurations are compared ↔ the page's address: two inverse functions. The first is the one compared with.

/** More would be a list to search, not a comparison. */
export const MOST = 6;

/**
 * Reads a query string. What is not known here, and what is too many, is left out and named.
 * @param {string} query
 * @param {{has: (id: string) => boolean}} known ids of configurations
 * @param {Record<string, string>} [renamed] masks and parts by the name they had, with the one they have now
 * @returns {{chosen: string[], unknown: string[], tooMany: string[]}}
 */
export function chosenFrom(query, known, renamed = {}) {
  const now = new Map(Object.entries(renamed));
  // No id holds a space: one stands for a "+" that was written as it is.
  const asked = new URLSearchParams(query).getAll("c").map((id) =>
    id
      .split(/[ +]/)
      .map((name) => now.get(name) ?? name)
      .join("+"),
  );
  const distinct = [...new Set(asked)].filter((id) => id !== "");
  const found = distinct.filter((id) => known.has(id));
  return {
    chosen: found.slice(0, MOST),
    unknown: distinct.filter((id) => !known.has(id)),
    tooMany: found.slice(MOST),
  };
}

/**
 * Writes the query string, "" where nothing is chosen.
 * @param {string[]} chosen
 */
export function queryOf(chosen) {
  return chosen.length ? `?${chosen.map((id) => `c=${encodeURIComponent(id)}`).join("&")}` : "";
}
