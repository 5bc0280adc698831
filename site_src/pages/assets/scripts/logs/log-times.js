// Times as counters write them: seconds since the start or since 1970, clock time, dates with clock time.
import { LOGS } from "../words/logs.js";
import { stripped } from "./log-text.js";

export const DAY_S = 86_400;
const HALF_DAY_S = 43_200;
const ALMOST_HALF_DAY_S = 39_600;
const CLOCK = new RegExp(
  String.raw`^(?:(?<date>\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2})` +
    String.raw`|(?:\p{L}{2,10}\.?,?\s+)?\d{1,2}\.?[-/ ]?\s?\p{L}{3,10}\.?[-/, ]\s?(?:\d{4}|\d{2})` +
    String.raw`|(?:\p{L}{2,10}\.?,?\s+)?\p{L}{3,10}\.?\s\d{1,2},?\s\d{4})(?:[T ]|,\s*)\s*)?` +
    String.raw`(?<h>\d{1,4}):(?<m>\d{1,2})(?::(?<s>\d{1,2}(?:[.,]\d+)?))?(?<f>[.,]\d+)?` +
    String.raw`\s*(?<half>[ap]\.?m\.?)?\s*(?<zone>z|utc|gmt|[+-]\d{2}:?\d{2})?$`,
  "iu",
);
const MONTHS = new Map(
  Object.entries(LOGS.words.months).flatMap(([month, names]) => names.map((name) => [name, Number(month)])),
);

/** Whether a text is a clock time, with a date before it or without. */
export function isClock(/** @type {string} */ text) {
  return CLOCK.test(stripped(text));
}

/** Whether a clock time has a date before it. */
export function isDated(/** @type {string} */ text) {
  return CLOCK.exec(stripped(text))?.groups?.date !== undefined;
}

/** Clock times in seconds, NaN for what is none, and whether they have dates. Without one they begin at midnight. */
export function clockSeconds(/** @type {string[]} */ texts) {
  const read = texts.map(clock);
  return { seconds: read.map(({ seconds }) => seconds), dated: read.some(({ dated }) => dated) };
}

/** Counts the midnights that clock times without a date pass, and the noons of clocks that end at twelve. */
export class Midnights {
  constructor() {
    this.last = NaN;
    this.added = 0;
  }

  /** Add the days passed so far. */
  unrolled(/** @type {number[]} */ seconds) {
    const before = this.last;
    return seconds.map((one) => {
      const known = Number.isNaN(one) ? before : one;
      const step = known - this.last;
      if (step < -HALF_DAY_S) this.added += DAY_S;
      else if (step < -ALMOST_HALF_DAY_S) this.added += HALF_DAY_S;
      this.last = known;
      return one + this.added;
    });
  }
}

function clock(/** @type {string} */ text) {
  const { date, h = "", m = "", s, f = "", half, zone } = CLOCK.exec(stripped(text))?.groups ?? {};
  if (!h) return { seconds: NaN, dated: false };
  const stopwatch = s === undefined; // minutes and seconds
  let hours = stopwatch ? 0 : Number(h);
  const minutes = Number(stopwatch ? h : m);
  const seconds = Number((stopwatch ? m + f : s).replace(",", "."));
  if (half) hours = (hours % 12) + ("pP".includes(half.slice(0, 1)) ? 12 : 0);
  if (seconds >= 61 || (!stopwatch && minutes >= 60)) return { seconds: NaN, dated: false };
  const days = date === undefined ? 0 : daysOf(date);
  return { seconds: days * DAY_S + hours * 3600 + minutes * 60 + seconds - offset(zone), dated: date !== undefined };
}

/** Days since 1970. With the year last the day stands first, unless that cannot be; with points always. */
function daysOf(/** @type {string} */ date) {
  const numbers = date.match(/\d+/g) ?? [];
  const [first = NaN, second = NaN, third = NaN] = numbers.map(Number);
  if (numbers.length === 2) {
    const names = (date.match(/\p{L}+/gu) ?? []).flatMap((name) => MONTHS.get(name.toLowerCase()) ?? []);
    return since1970(second, names.at(-1) ?? NaN, first);
  }
  let [year, month, day] = [third, second, first];
  if (numbers[0]?.length === 4) [year, month, day] = [first, second, third];
  else if (date.includes("/") && first <= 12) [month, day] = [first, second];
  return since1970(year, month, day);
}

function since1970(/** @type {number} */ told, /** @type {number} */ month, /** @type {number} */ day) {
  const year = told < 100 ? told + 2000 : told;
  const time = new Date(Date.UTC(year, month - 1, day));
  const sound = time.getUTCFullYear() === year && time.getUTCMonth() === month - 1 && time.getUTCDate() === day;
  return sound ? time.getTime() / 1000 / DAY_S : NaN;
}

function offset(/** @type {string | undefined} */ zone) {
  if (!zone || !/^[+-]/.test(zone)) return 0;
  const seconds = Number(zone.slice(1, 3)) * 3600 + Number(zone.slice(-2)) * 60;
  return zone.startsWith("-") ? -seconds : seconds;
}
