// The text of a log in whichever of the usual encodings it was saved: its lines, its cells.
import { LOGS } from "../words/logs.js";
import { logMessage } from "./log-messages.js";
import { LogError } from "./log-problems.js";

/** @typedef {{numbers: number[], rows: string[][]}} RowChunk */

const BLOCK = 200_000;
const LOOKED_AT = 4096;
const COMMENTS = ["#", "//", "%", "!"];
const LONGEST_CELL = 131_072;
// White space as Python has it.
const SPACE = "[\\t-\\r\\u001c- \\u0085\\u00a0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000]";
const SPACES = new RegExp(`${SPACE}+`, "u");
const AROUND = new RegExp(`^${SPACE}+|${SPACE}+$`, "gu");
const BEFORE = new RegExp(`^${SPACE}+`, "u");

/** Stands for cells that are held apart by tabs, or by two spaces or more. */
export const ALIGNED = "  ";
const GAP = new RegExp(` *\\t${SPACE}*| {2,}`, "u");

/** Without white space around it. */
export function stripped(/** @type {string} */ text) {
  return text.replace(AROUND, "");
}

/** Its words, as white space parts them. */
export function wordsOf(/** @type {string} */ text) {
  return text.split(SPACES).filter(Boolean);
}

/**
 * The text of a file: UTF-8 with a mark or without, UTF-16, and bytes that are no UTF-8 as Latin-1.
 * @param {Uint8Array} bytes
 */
export function decoded(bytes) {
  const wide = utf16Of(bytes);
  if (wide) return wide.text;
  const whole = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? bytes.subarray(3) : bytes;
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(whole);
  } catch {
    return mixed(whole);
  }
}

function utf16Of(/** @type {Uint8Array} */ bytes) {
  const marked = bytes[0] === 0xff && bytes[1] === 0xfe ? "le" : bytes[0] === 0xfe && bytes[1] === 0xff ? "be" : "";
  if (marked) return { text: fromPairs(bytes.subarray(2), marked === "le") };
  const start = bytes.subarray(0, LOOKED_AT);
  const zeros = [0, 1].map((side) => start.filter((byte, place) => byte === 0 && place % 2 === side).length);
  const [even = 0, odd = 0] = zeros;
  const [most, least] = [Math.max(even, odd), Math.min(even, odd)];
  if (most <= Math.floor(start.length / 5) || least * 20 >= most) return null;
  return { text: fromPairs(bytes, odd > even) };
}

/** UTF-16 by pairs of bytes; half a pair of surrogates, and a last odd byte, stay the bytes they are. */
function fromPairs(/** @type {Uint8Array} */ bytes, /** @type {boolean} */ little) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const parts = [];
  for (let at = 0; at < bytes.length; at += 2) {
    const unit = at + 1 < bytes.length ? view.getUint16(at, little) : -1;
    const next = at + 3 < bytes.length ? view.getUint16(at + 2, little) : -1;
    if (unit >= 0xd800 && unit < 0xdc00 && next >= 0xdc00 && next < 0xe000) {
      parts.push(String.fromCharCode(unit, next));
      at += 2;
    } else if (unit < 0 || (unit >= 0xd800 && unit < 0xe000)) {
      parts.push(...[...bytes.subarray(at, at + 2)].map((byte) => String.fromCharCode(byte)));
    } else {
      parts.push(String.fromCharCode(unit));
    }
  }
  return parts.join("");
}

/** UTF-8 in which some bytes are Latin-1. */
function mixed(/** @type {Uint8Array} */ bytes) {
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  const parts = [];
  for (let at = 0; at < bytes.length; ) {
    const first = bytes[at] ?? 0;
    const length = first < 0x80 ? 1 : first < 0xc2 ? 0 : first < 0xe0 ? 2 : first < 0xf0 ? 3 : first < 0xf5 ? 4 : 0;
    let text = "";
    if (length && at + length <= bytes.length) {
      try {
        text = decoder.decode(bytes.subarray(at, at + length));
      } catch {
        text = "";
      }
    }
    parts.push(text || String.fromCharCode(first));
    at += text ? length : 1;
  }
  return parts.join("");
}

/**
 * The lines of a text with their ends, looked at in blocks. Throws a LogError for what is no table.
 * @param {string} text
 * @returns {Generator<string>}
 */
export function* linesOf(text) {
  const { longest_line: longest } = LOGS.limits;
  let seen = 0;
  for (let at = 0; at < text.length; ) {
    let end = Math.min(at + BLOCK, text.length);
    if (end < text.length) {
      const rest = /^[^\r\n]*(?:\r\n|\r|\n)?/.exec(text.slice(end, end + longest + 1));
      end += rest ? rest[0].length : 0;
    }
    const lines = text.slice(at, end).match(/[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+$/g) ?? [];
    for (const [place, line] of lines.entries()) {
      const number = seen + place + 1;
      if (line.includes("\0")) throw new LogError(number, logMessage("no_text"), logMessage("no_text_remedy"));
      if (line.length > longest) {
        throw new LogError(number, logMessage("long_line", { most: longest }), logMessage("long_line_remedy"));
      }
    }
    yield* lines;
    seen += lines.length;
    at = end;
  }
}

/** Whether a line is a remark. */
export function isComment(/** @type {string} */ line, /** @type {string} */ delimiter) {
  return isRemark(line, marksOf(delimiter));
}

/** One line cut into cells; " " stands for any white space, two of them for tabs and for two spaces or more. */
export function cellsOf(/** @type {string} */ line, /** @type {string} */ delimiter) {
  if (delimiter === " ") return wordsOf(line);
  if (delimiter === ALIGNED) return stripped(line).split(GAP);
  const cutter = new Cutter(delimiter, false);
  cutter.take(line);
  return cutter.rest();
}

/**
 * Lines cut into cells, chunk by chunk, each row with the number of its line; blank lines and remarks are left out.
 * Throws a LogError where quotation marks do not match.
 * @param {Iterator<string>} lines
 * @param {string} delimiter
 * @param {number} first the number of the first line
 * @returns {Generator<RowChunk>}
 */
export function* rowChunks(lines, delimiter, first) {
  const marks = marksOf(delimiter);
  let number = first;
  for (let block = taken(lines, LOGS.limits.chunk_rows); block.length; block = taken(lines, LOGS.limits.chunk_rows)) {
    const spaced = delimiter === " " || delimiter === ALIGNED;
    if (!spaced && block.some((line) => line.includes('"'))) {
      yield* quotedChunks(chained(block, lines), delimiter, number, marks);
      return;
    }
    /** @type {RowChunk} */
    const chunk = { numbers: [], rows: [] };
    for (const [place, line] of block.entries()) {
      if (isRemark(line, marks)) continue;
      const row = spaced ? cellsOf(line, delimiter) : cut(line, delimiter);
      if (!isBlank(row)) {
        chunk.numbers.push(number + place);
        chunk.rows.push(row);
      }
    }
    number += block.length;
    if (chunk.rows.length) yield chunk;
  }
}

/**
 * Some of what an iterator gives.
 * @param {Iterator<string>} lines
 * @param {number} most
 */
export function taken(lines, most) {
  const some = [];
  while (some.length < most) {
    const next = lines.next();
    if (next.done) break;
    some.push(next.value);
  }
  return some;
}

/**
 * Some lines, then others.
 * @param {string[]} some
 * @param {Iterator<string>} others
 * @returns {Generator<string>}
 */
export function* chained(some, others) {
  yield* some;
  for (let next = others.next(); !next.done; next = others.next()) yield next.value;
}

/**
 * Lines with quotation marks, of which several may be one row.
 * @param {Iterable<string>} lines
 * @param {string} delimiter
 * @param {number} first
 * @param {string[]} marks
 * @returns {Generator<RowChunk>}
 */
function* quotedChunks(lines, delimiter, first, marks) {
  const cutter = new Cutter(delimiter, true);
  let at = first - 1;
  /** @type {RowChunk} */
  let chunk = { numbers: [], rows: [] };
  let read = 0;
  const wrong = (/** @type {string} */ fault) =>
    new LogError(at, logMessage("quotation", { fault }), logMessage("quotation_remedy"));
  for (const line of lines) {
    at += 1;
    if (isRemark(line, marks)) continue;
    cutter.take(line);
    if (cutter.fault) throw wrong(cutter.fault);
    if (cutter.open) continue;
    const row = cutter.rest();
    read += 1;
    if (!isBlank(row)) {
      chunk.numbers.push(at);
      chunk.rows.push(row);
    }
    if (read === LOGS.limits.chunk_rows) {
      if (chunk.rows.length) yield chunk;
      [chunk, read] = [{ numbers: [], rows: [] }, 0];
    }
  }
  if (cutter.open) throw wrong("unexpected end of data");
  if (chunk.rows.length) yield chunk;
}

/** Cuts lines into cells as Python's csv module does, spaces behind a delimiter left out. */
class Cutter {
  constructor(/** @type {string} */ delimiter, /** @type {boolean} */ strict) {
    this.delimiter = delimiter;
    this.strict = strict;
    /** @type {string[]} */
    this.cells = [];
    this.cell = "";
    this.open = false;
    this.fault = "";
  }

  /** Take a line; `open` says whether a quotation goes on behind it. */
  take(/** @type {string} */ line) {
    const { delimiter } = this;
    let state = this.open ? "quoted" : "start";
    let any = this.open;
    this.open = false;
    for (const character of line) {
      const ends = character === "\n" || character === "\r";
      if (ends && state !== "quoted") break;
      any = true;
      if (state === "start" && character === " ") continue;
      if (state === "start" && character === '"') state = "quoted";
      else if (state === "quoted" && character === '"') state = "behind";
      else if (state === "behind" && character === '"') {
        this.cell += character;
        state = "quoted";
      } else if (character === delimiter && state !== "quoted") {
        this.cells.push(this.cell);
        [this.cell, state] = ["", "start"];
      } else if (state === "behind" && this.strict) {
        this.fault = `'${delimiter}' expected after '"'`;
        return;
      } else {
        this.cell += character;
        if (state !== "quoted") state = "in";
      }
      if (this.cell.length > LONGEST_CELL) {
        this.fault = `field larger than field limit (${LONGEST_CELL})`;
        return;
      }
    }
    this.open = state === "quoted";
    if (!this.open && any) {
      this.cells.push(this.cell);
      this.cell = "";
    }
  }

  /** The cells of the row, and begin another. */
  rest() {
    if (this.open) this.cells.push(this.cell);
    const { cells } = this;
    [this.cells, this.cell, this.open] = [[], "", false];
    return cells;
  }
}

/** A line without quotation marks. */
function cut(/** @type {string} */ line, /** @type {string} */ delimiter) {
  const bare = line.replace(/[\r\n]+$/, "");
  return bare ? bare.split(delimiter).map((cell) => cell.replace(/^ +/, "")) : [];
}

function marksOf(/** @type {string} */ delimiter) {
  return delimiter === ";" ? COMMENTS : [...COMMENTS, ";"];
}

function isRemark(/** @type {string} */ line, /** @type {string[]} */ marks) {
  const bare = line.replace(BEFORE, "");
  return marks.some((mark) => bare.startsWith(mark));
}

function isBlank(/** @type {string[]} */ row) {
  return !row.length || (row.length === 1 && row[0] === "");
}
