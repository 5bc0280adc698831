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
  return withAsked(address, KEY, method);
}

/**
 * An address that asks for a value under a key beside all else it asks for; "" for none.
 * @param {string} address
 * @param {string} key
 * @param {string} value
 */
export function withAsked(address, key, value) {
  const [rest = "", ...anchor] = address.split("#");
  const [path = "", query = ""] = rest.split("?");
  const others = query.split("&").filter((pair) => pair && !pair.startsWith(`${key}=`));
  const asked = value ? [...others, `${key}=${encodeURIComponent(value)}`] : others;
  return [path + (asked.length ? `?${asked.join("&")}` : ""), ...anchor].join("#");
}
