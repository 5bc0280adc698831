// Search should find a word however it is written.

/**
 * Lower case without accents.
 * @param {string} text
 */
export function plain(text) {
  return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
}
