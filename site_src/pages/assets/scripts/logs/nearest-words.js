// What was probably meant: the known word that is nearest to a mistyped one, by Ratcliff and Obershelp's measure.
import { LOGS } from "../words/logs.js";

const LONGEST = 100;

/**
 * The nearest of some words, undefined where none is near.
 * @param {string} wanted
 * @param {Iterable<string>} known
 */
export function nearest(wanted, known) {
  const short = [...wanted].slice(0, LONGEST).join("");
  /** @type {{word: string, score: number} | undefined} */
  let best;
  for (const word of known) {
    const score = alike(word, short);
    if (score < LOGS.limits.alike) continue;
    if (!best || score > best.score || (score === best.score && word > best.word)) best = { word, score };
  }
  return best?.word;
}

/**
 * A text as words are written: small letters, hyphens between.
 * @param {string} text
 */
export function plainWord(text) {
  return text.toLowerCase().replace(/[_\-,]/g, " ").split(/\s+/).filter(Boolean).join("-");
}

/** Twice the characters that two words share in order, over all of theirs. */
function alike(/** @type {string} */ one, /** @type {string} */ other) {
  const all = one.length + other.length;
  return all ? (2 * shared(one, other)) / all : 1;
}

/** The characters of the longest block that both have, and of those before it and behind it. */
function shared(/** @type {string} */ one, /** @type {string} */ other) {
  /** @type {number} */
  let total = 0;
  const todo = [{ one, other }];
  for (let next = todo.pop(); next; next = todo.pop()) {
    const { size, first, second } = longest(next.one, next.other);
    if (!size) continue;
    total += size;
    todo.push(
      { one: next.one.slice(0, first), other: next.other.slice(0, second) },
      { one: next.one.slice(first + size), other: next.other.slice(second + size) },
    );
  }
  return total;
}

/** The longest block that both have: of several the first in the one, then the first in the other. */
function longest(/** @type {string} */ one, /** @type {string} */ other) {
  let best = { size: 0, first: 0, second: 0 };
  /** @type {Map<number, number>} */
  let lengths = new Map();
  for (let first = 0; first < one.length; first += 1) {
    /** @type {Map<number, number>} */
    const now = new Map();
    for (let second = 0; second < other.length; second += 1) {
      if (one[first] !== other[second]) continue;
      const size = (lengths.get(second - 1) ?? 0) + 1;
      now.set(second, size);
      if (size > best.size) best = { size, first: first - size + 1, second: second - size + 1 };
    }
    lengths = now;
  }
  return best;
}
