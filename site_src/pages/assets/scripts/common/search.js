// Search that forgives: words in any order, in the plural or not, hyphened, apart or together, and mistyped where
// nothing is written that way.
import { say } from "./say.js";
import { plain } from "./spelling.js";

/** How well a text answers a word. */
const SAME = 4;
const BEGINS = 3;
const INSIDE = 2;
const MISTYPED = 1;

/** Shorter words than these have too many others near them: to forgive one mistake, and two. */
const FORGIVE_ONE = 4;
const FORGIVE_TWO = 8;

/** Letters in a row shared by this part of two names make them near, 0 to 1. */
const NEAR = 0.3;
const MOST_NEAR = 4;

/**
 * @typedef {object} Found
 * @property {Map<number, number>} scores by the place of each text that has every word: how well, higher is better
 * @property {{typed: string, read: string}[]} mended words that stand nowhere, and what they were read as
 */

export class Index {
  /** @param {string[]} texts */
  constructor(texts) {
    this.size = texts.length;
    /** The texts with nothing between their words. */
    this.joined = texts.map((text) => wordsOf(text).join(""));
    /** Each word as it is written somewhere. @type {Set<string>} */
    this.written = new Set();
    /** Where each word stands, in the singular too. @type {Map<string, number[]>} */
    this.words = new Map();
    for (const [place, text] of texts.entries()) {
      const written = wordsOf(text);
      for (const word of written) this.written.add(word);
      for (const word of new Set(written.flatMap(formsOf))) {
        const places = this.words.get(word);
        if (places) places.push(place);
        else this.words.set(word, [place]);
      }
    }
  }

  /**
   * @param {string} query
   * @returns {Found}
   */
  find(query) {
    /** @type {Found["mended"]} */
    const mended = [];
    /** @type {Map<number, number> | null} */
    let scores = null;
    for (const word of wordsOf(query)) {
      const own = this.having(word, mended);
      if (scores === null) scores = own;
      else for (const [place, score] of scores) {
        const more = own.get(place);
        if (more === undefined) scores.delete(place);
        else scores.set(place, score + more);
      }
    }
    return { scores: scores ?? new Map([...this.joined.keys()].map((place) => [place, 0])), mended };
  }

  /**
   * The texts that have a word, with how well each has it.
   * @param {string} word
   * @param {Found["mended"]} mended grows where the word stands nowhere
   */
  having(word, mended) {
    /** @type {Map<number, number>} */
    const scores = new Map();
    const note = (/** @type {number[]} */ places, /** @type {number} */ score) => {
      for (const place of places) if ((scores.get(place) ?? 0) < score) scores.set(place, score);
    };
    const forms = formsOf(word);
    for (const [known, places] of this.words) {
      for (const form of forms) {
        if (known.includes(form)) note(places, known === form ? SAME : known.startsWith(form) ? BEGINS : INSIDE);
      }
    }
    if (scores.size === 0) {
      // What others write as two words.
      const long = forms.filter((form) => form.length > FORGIVE_ONE);
      note([...this.joined.keys()].filter((place) => long.some((form) => this.joined[place]?.includes(form))), INSIDE);
    }
    if (scores.size) return scores;
    const near = this.nearest(word);
    for (const known of near) note(this.words.get(known) ?? [], MISTYPED);
    if (near.length) mended.push({ typed: word, read: near.join(", ") });
    return scores;
  }

  /** The words that a mistyped one can be, those with the fewest mistakes alone. */
  nearest(/** @type {string} */ word) {
    const most = word.length < FORGIVE_ONE ? 0 : word.length < FORGIVE_TWO ? 1 : 2;
    for (let mistakes = 1; mistakes <= most; mistakes += 1) {
      const near = [...this.written].filter((known) => mistakesIn(word, known) <= mistakes);
      if (near.length) return near.sort().slice(0, MOST_NEAR);
    }
    return [];
  }
}

/**
 * What was read in place of words that stand nowhere, in a sentence; "" for nothing.
 * @param {Found["mended"]} mended
 */
export function mendedWords(mended) {
  return mended.map(({ typed, read }) => say("search.mended", { typed, read })).join(" ");
}

/**
 * The places of the names most like a query, the most like first.
 * @param {string} query
 * @param {string[]} names
 */
export function nearNames(query, names) {
  const asked = pairsOf(query);
  return names
    .map((name, place) => ({ place, alike: likeness(asked, pairsOf(name)) }))
    .filter(({ alike }) => alike >= NEAR)
    .sort((a, b) => b.alike - a.alike || (names[a.place] ?? "").length - (names[b.place] ?? "").length || a.place - b.place)
    .slice(0, MOST_NEAR)
    .map(({ place }) => place);
}

/** The words of a text: small letters without accents, and digits. */
function wordsOf(/** @type {string} */ text) {
  return plain(text).split(/[^\p{L}\p{N}]+/u).filter(Boolean);
}

/** Endings of the plural, each with that of one. */
const ENDINGS = say("search.plural").split(" ").map((pair) => pair.split("="));

/** A word as written, and in the singular. @returns {string[]} */
function formsOf(/** @type {string} */ word) {
  if (word.length < FORGIVE_ONE) return [word];
  const [plural, one] = ENDINGS.find(([ending = ""]) => word.endsWith(ending)) ?? [];
  return plural === undefined ? [word] : [word, word.slice(0, -plural.length) + (one ?? "")];
}

/**
 * How many letters to change, add, leave out or exchange with the next, until a word is another or begins it. The first
 * letter is right, or exchanged.
 * @param {string} word
 * @param {string} known
 */
function mistakesIn(word, known) {
  const begins = word[0] === known[0] || (word[0] === known[1] && word[1] === known[0]);
  if (!begins || known.length < word.length - 2) return Infinity;
  const width = Math.min(known.length, word.length + 2);
  // The table's last three rows: Damerau, Commun. ACM 1964;7:171–176, exchanging neighbours only.
  let before = /** @type {number[]} */ ([]);
  let last = Array.from({ length: width + 1 }, (_, column) => column);
  for (let row = 1; row <= word.length; row += 1) {
    const own = [row];
    for (let column = 1; column <= width; column += 1) {
      const same = word[row - 1] === known[column - 1];
      let fewest = Math.min(at(last, column) + 1, at(own, column - 1) + 1, at(last, column - 1) + (same ? 0 : 1));
      if (row > 1 && column > 1 && word[row - 1] === known[column - 2] && word[row - 2] === known[column - 1]) {
        fewest = Math.min(fewest, at(before, column - 2) + 1);
      }
      own.push(fewest);
    }
    before = last;
    last = own;
  }
  return Math.min(...last);
}

function at(/** @type {number[]} */ row, /** @type {number} */ column) {
  return row[column] ?? Infinity;
}

/** Every two letters in a row of a text. */
function pairsOf(/** @type {string} */ text) {
  const joined = wordsOf(text).join("");
  return new Set(Array.from({ length: Math.max(0, joined.length - 1) }, (_, place) => joined.slice(place, place + 2)));
}

/** The part of the smaller of two sets that is in the other, 0 to 1: names are longer than what is typed of them. */
function likeness(/** @type {Set<string>} */ a, /** @type {Set<string>} */ b) {
  const shared = [...a].filter((pair) => b.has(pair)).length;
  return shared / Math.max(1, Math.min(a.size, b.size));
}
