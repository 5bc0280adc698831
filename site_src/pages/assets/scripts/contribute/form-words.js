// What the form says beside its questions: buttons, lists of choices, and what became of the files.
import { fit } from "../common/figures.js";
import { count } from "../common/say.js";

export const NOT_LOADED = "The form could not be loaded. How to write the file by hand is below.";
export const FORM_TITLE = "A test";
export const FILES_TITLE = "The files";
export const MISTAKES_TITLE = "Mistakes";
export const BEFORE_USE = "Before the file can be used:";
export const NEXT = "One more donning";
export const ANEW = "Start anew";
export const REALLY_ANEW = "Clear everything that is filled in?";

// Lists of choices.

export const CHOOSE = "Choose";
export const NOT_GIVEN = "Not given";
export const NOTHING = "Nothing";
export const TAKEN_OUT = "Taken out";
export const YES = "Yes";
export const NO = "No";
export const NEW_MASK = "A mask that is not here yet";
export const NEW_PART = "A part that is not here yet";

/**
 * The choice to change nothing: "As sold: Ear loops".
 * @param {string | undefined} part its label, where it is known
 * @param {boolean} some whether there is a part
 */
export function asSoldWords(part, some) {
  return `As sold: ${part ?? (some ? "the new part" : "nothing")}`;
}

// Exercises and stretches.

export const EXERCISES = "Exercises";
export const STRETCHES = "Stretches in order of time";
export const ADD_EXERCISE = "Add an exercise";
export const ADD_STRETCH = "Add a stretch";
export const REMOVE = "Remove";

/** @param {number} row from 1 */
export function rowWords(row) {
  return `Row ${row}`;
}

/** @param {number} row from 1 */
export function removedRowWords(row) {
  return ` row ${row}`;
}

/** @param {import("./overall.js").Overall} overall */
export function overallWords({ fitFactor, atLeast }) {
  return `Overall fit factor: ${fit(fitFactor, atLeast)}, the harmonic mean without the grimace.`;
}

// The finished files.

export const NEW_FILE = "Open the repository's new-file page";
export const COPY = "Copy";
export const DOWNLOAD = "Download";
export const NOT_COPIED =
  "The browser does not let this page copy. The text is selected: copy it with the keyboard.";

/**
 * @param {boolean} ready
 * @param {number} files
 */
export function stateWords(ready, files) {
  return ready ? `Ready: ${count("file", files)}.` : "Not ready yet: something is missing or wrong.";
}

/** @param {string} path */
export function copiedWords(path) {
  return `Copied. Save it as ${path}.`;
}

/** @param {string} path */
export function savedWords(path) {
  return `Saved. It belongs at ${path}.`;
}
