// The lines of a text in a drawing.

/**
 * Breaks a text into lines of at most so many characters, where it has spaces if it can.
 * @param {string} text
 * @param {number} most
 */
export function wrapped(text, most) {
  /** @type {string[]} */
  const lines = [];
  let line = "";
  // An address is one word, and may be longer than a line; so are a number and its unit.
  for (const word of text.match(new RegExp(`[\\S\\u00a0\\u202f]{1,${most}}`, "g")) ?? []) {
    const joined = `${line} ${word}`.trim();
    if (joined.length > most) lines.push(line);
    line = joined.length > most ? word : joined;
  }
  return [...lines, line];
}
