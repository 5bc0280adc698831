// Numbers as people and counters write them: which mark is the decimal one, which parts thousands.
import { stripped } from "./log-text.js";

/** @typedef {{decimal: "." | ",", thousands: boolean}} NumberForm */

const PARTING = /[ \u00a0\u2009\u202f'’]/;
const EITHER = /^[-+]?\d[\d.,]*(?:e[-+]?\d+)?$/i;
const NUMBER = /^[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?$/i;
const ROUND = 3;

/**
 * The decimal mark that some numbers cannot be read without, null where none of them decides.
 * @param {Iterable<string>} texts
 * @returns {"." | "," | null}
 */
export function decidedMark(texts) {
  for (const text of texts) {
    const bare = bareOf(text);
    if (!EITHER.test(bare)) continue;
    const [points, commas] = [bare.split(".").length - 1, bare.split(",").length - 1];
    if (points && commas) return bare.lastIndexOf(".") > bare.lastIndexOf(",") ? "." : ",";
    /** @type {["." | ",", "." | ","]} */
    const [mark, other] = points ? [".", ","] : [",", "."];
    if (points + commas > 1) return other;
    if (points + commas === 1 && !mayPartThousands(bare, mark)) return mark;
  }
  return null;
}

/**
 * The form of a column; `mark` is the decimal mark that the rest of the file decides, `whole` that it counts.
 * @param {string[]} texts
 * @param {"." | "," | null} mark
 * @param {boolean} whole
 * @returns {NumberForm}
 */
export function formOf(texts, mark, whole) {
  const numbers = texts.map(bareOf).filter((bare) => EITHER.test(bare));
  const [points, commas] = [numbers.some((bare) => bare.includes(".")), numbers.some((bare) => bare.includes(","))];
  let decimal = decidedMark(numbers);
  if (!decimal && points !== commas) {
    const only = points ? "." : ",";
    const plain = numbers.filter((bare) => !bare.includes(only));
    const long = plain.some((bare) => bare.length > ROUND);
    if (mark) decimal = mark;
    else if (long || (!whole && (only === "." || !plain.length))) decimal = only;
    else decimal = only === "." ? "," : ".";
  }
  decimal ??= mark ?? ".";
  return { decimal, thousands: decimal === "." ? commas : points };
}

/**
 * The number that a text holds; NaN for none.
 * @param {string} text
 * @param {NumberForm} form
 */
export function numberOf(text, { decimal, thousands }) {
  let bare = bareOf(text);
  const parting = decimal === "." ? "," : ".";
  if (thousands && bare.includes(parting)) {
    const [first = "", ...parts] = (bare.split(decimal)[0] ?? "").replace(/^[+-]+/, "").split(parting);
    if (first.length < 1 || first.length > ROUND || parts.some((part) => part.length !== ROUND)) return NaN;
    bare = bare.replaceAll(parting, "");
  }
  if (decimal === ",") {
    if (bare.includes(".")) return NaN;
    bare = bare.replaceAll(",", ".");
  }
  return NUMBER.test(bare) ? Number(bare) : NaN;
}

/** Spaces and apostrophes that part thousands left out. */
function bareOf(/** @type {string} */ text) {
  const bare = stripped(text);
  if (!PARTING.test(bare)) return bare;
  const [first = "", ...parts] = bare.split(PARTING);
  const sound = parts.every((part) => (part.split(/[.,e]/i)[0] ?? "").length === ROUND);
  const length = first.replace(/^[+-]+/, "").length;
  return sound && length >= 1 && length <= ROUND ? first + parts.join("") : bare;
}

function mayPartThousands(/** @type {string} */ bare, /** @type {string} */ mark) {
  const unsigned = bare.replace(/^[+-]+/, "");
  const before = unsigned.split(mark)[0] ?? "";
  const after = unsigned.slice(before.length + 1);
  return /^\d{3}$/.test(after) && before.length >= 1 && before.length <= ROUND && before[0] !== "0";
}
