// What is wrong with an answer, in the checker's own words as far as both find it.

const LONGEST_QUOTE = 60;
const PSEUDONYM = "Write a pseudonym that means nothing, such as blue-heron.";
const OTHER_FACE = "Correct the one that is wrong; another face needs another pseudonym.";

export const MISSING = "Missing.";

// What one value may be.

export const HIDDEN =
  "This holds a control character or a mark that turns the reading direction around. Type the text anew without it.";

/** @param {string} text */
export function noInteger(text) {
  return `Expected a whole number, found text: ${quoted(text)}. Write it without a decimal point, such as 4.`;
}

/** @param {string} text */
export function noNumber(text) {
  return `Expected a number, found text: ${quoted(text)}. Write it with a decimal point, such as 117.5.`;
}

/**
 * @param {string} text
 * @param {number} least
 */
export function below(text, least) {
  return `${text} is below ${spaced(least)}. Write ${spaced(least)} or more.`;
}

/**
 * @param {string} text
 * @param {number} limit
 */
export function notAbove(text, limit) {
  return `${text} is not above ${spaced(limit)}. Write a number above ${spaced(limit)}.`;
}

/**
 * @param {string} text
 * @param {number} most
 */
export function above(text, most) {
  return `${text} is above ${spaced(most)}. Write ${spaced(most)} or less.`;
}

/**
 * @param {string} text
 * @param {number} least
 */
export function tooShort(text, least) {
  return `${quoted(text)} is shorter than ${least} characters. Write at least ${least}.`;
}

/**
 * @param {string} text
 * @param {number} most
 */
export function tooLong(text, most) {
  return `${quoted(text)} is longer than ${most} characters. Write at most ${most}.`;
}

/** @param {number} most */
export function tooManyLines(most) {
  return `There are more than ${most} lines. Write at most ${most}.`;
}

/** @param {string} text */
export function noLink(text) {
  return `${quoted(text)} is no web address. Write an address that begins with https://.`;
}

/** @param {string} text */
export function noId(text) {
  return `${quoted(text)} is no id: small letters and digits, single hyphens between. Write one such as blue-heron.`;
}

/** @param {string} text */
export function noDay(text) {
  return `${quoted(text)} is no date. Write it as year-month-day, such as 2026-09-12.`;
}

// What must hold across keys and files.

export const NO_SHORT_NAME = "No short name can be made from the name. Write one, such as blue-heron.";
export const AT_LEAST_NOTHING = "This is at least nothing: add the fit factor that it is at least.";
export const NO_FIT_FACTOR =
  "The result holds no number. Add a fit factor to an exercise other than the grimace.";
export const HAIR = "With hair at the seal this test will not count. The file says so.";

/** @param {string} day */
export function future(day) {
  return `${day} lies in the future. Write the day of the test.`;
}

/**
 * @param {string} day
 * @param {string} earliest
 */
export function tooEarly(day, earliest) {
  return `${day} is before ${earliest}. Write the day of the test.`;
}

/** @param {string} pseudonym */
export function namelike(pseudonym) {
  return `${pseudonym} looks like a name. ${PSEUDONYM}`;
}

/**
 * @param {string} wearer
 * @param {string} here
 * @param {string} there
 */
export function otherFace(wearer, here, there) {
  return `${wearer} has ${here} here, but ${there} in the entries. ${OTHER_FACE}`;
}

/**
 * @param {number | undefined} length
 * @param {number | undefined} width
 */
export function sizeWords(length, width) {
  return `${length} × ${width} mm`;
}

/** @param {string} cell */
export function cellWords(cell) {
  return cell === "outside" ? "a face outside the panel" : `cell ${cell}`;
}

/** @param {string} bridge */
export function bridgeWords(bridge) {
  return `a ${bridge} nose bridge`;
}

/** @param {string} bridge */
export function otherBridgeWords(bridge) {
  return `a ${bridge} one`;
}

/** @param {string} id */
export function reserved(id) {
  return `No file can be called ${id}. Choose another short name.`;
}

/** @param {string} id */
export function taken(id) {
  return `There is a file called ${id} already. Choose another short name.`;
}

/** @param {string} label */
export function sameMask(label) {
  return `${label} is here already, of the same maker. Choose it, or tell the sizes apart.`;
}

/**
 * @param {string[]} missing
 * @param {string[]} surplus
 */
export function otherExercises(missing, surplus) {
  const faults = [
    missing.length ? `missing: ${missing.join(", ")}` : "",
    surplus.length ? `too many: ${surplus.join(", ")}` : "",
  ];
  const reason = `The exercises are not those of the protocol; ${faults.filter(Boolean).join("; ")}.`;
  return `${reason} Give all of them, or choose the protocol “Free”.`;
}

// Why counts give no fit factor.

export const NO_AMBIENT = "There is no stretch of ambient air to set the mask against.";
export const NO_MASK = "There is no stretch in the mask other than the grimace.";
export const EMPTY_AMBIENT = "No particle was counted in the ambient air, so there is no fit factor.";
export const EMPTY_CONCENTRATION = "A concentration of 0 in the mask gives no fit factor: give the particles.";
export const BELOW_ONE = "The counts give a fit factor below 1: more particles in the mask than outside.";

/** A piece of what was typed, short enough for a sentence. */
function quoted(/** @type {string} */ text) {
  const characters = [...text];
  return `“${characters.length > LONGEST_QUOTE ? `${characters.slice(0, LONGEST_QUOTE).join("")}…` : text}”`;
}

function spaced(/** @type {number} */ limit) {
  return String(limit).replace(/\B(?=(\d{3})+$)/g, " ");
}
