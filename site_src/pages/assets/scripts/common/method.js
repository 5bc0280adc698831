// The method that a page is narrowed to, as addresses carry it: protocol, instrument and size selection of the tests.

/** The key it has in every address. */
const KEY = "method";

/** The method that the page's address asks for, "" for any. */
export function methodAsked() {
  return new URLSearchParams(location.search).get(KEY) ?? "";
}

/**
 * The id of a method given in its words, as the builder names it.
 * @param {string[]} words
 */
export function idOf(words) {
  return words.map((word) => word || "not-told").join(".");
}

/**
 * An address that asks for a method beside all else it asks for; "" for any.
 * @param {string} address
 * @param {string} method
 */
export function withMethod(address, method) {
  const [rest = "", ...anchor] = address.split("#");
  const [path = "", query = ""] = rest.split("?");
  const others = query.split("&").filter((pair) => pair && !pair.startsWith(`${KEY}=`));
  const asked = method ? [...others, `${KEY}=${encodeURIComponent(method)}`] : others;
  return [path + (asked.length ? `?${asked.join("&")}` : ""), ...anchor].join("#");
}
