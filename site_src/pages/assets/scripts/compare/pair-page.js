// The page that a comparison has of its own.
import { LEVELS } from "../words/levels.js";

/**
 * The address of the page of two configurations, from this one; "" where they have none. A longer name of a
 * configuration is shortened in addresses, which only the builder does.
 * @param {import("./measured.js").Configuration} first
 * @param {import("./measured.js").Configuration} other
 * @param {string} reference the mask that others are measured by
 */
export function pageOf(first, other, reference) {
  const pairs = [[first, other], [other, first]];
  const found = pairs.find(([a, b]) => b?.paged && a?.id === (b.sold ? reference : b.mask));
  const names = (found ?? []).map((one) => one.id.replaceAll("+", "--"));
  return found && names.every((name) => name.length <= LEVELS.longest_name) ? `${names.map(encodeURIComponent).join("/")}/` : "";
}
