// What the form's lists of choices hold: words of the vocabulary, masks, and the parts of a slot.
import { NEW } from "./names.js";

/** @typedef {{value: string, label: string, meaning?: string}} Option */

const NOT_HERE = (/** @type {string} */ what) => ({ value: NEW, label: `A ${what} that is not here yet` });

/**
 * The choices of a question; null where it is none between choices.
 * @param {string} name
 * @param {import("./schema.js").Field} field
 * @param {import("./names.js").Answers} answers
 * @param {any} known
 * @returns {Option[] | null}
 */
export function optionsFor(name, field, answers, known) {
  if (name === "test.mask") {
    const masks = known.masks.map(({ id, label }) => ({ value: id, label }));
    return [{ value: "", label: "Choose" }, ...masks, NOT_HERE("mask")];
  }
  const [, table, slot] = /^(mask\.as_sold|test\.configuration)\.([a-z-]+)$/.exec(name) ?? [];
  if (table) return partOptions(table, slot, answers, known);
  const open = { value: "", label: field.required ? "Choose" : "Not given" };
  if (field.kind === "word") {
    return [open, ...field.oneOf.map((word) => ({ value: word.const, label: word.title, meaning: word.description }))];
  }
  const yesOrNo = field.kind === "boolean" && field.default === undefined;
  return yesOrNo ? [open, { value: "yes", label: "Yes" }, { value: "no", label: "No" }] : null;
}

/** The parts for a slot; for a change all but the one that the mask is sold with. */
function partOptions(/** @type {string} */ table, /** @type {string} */ slot, answers, known) {
  const parts = known.parts.filter((part) => part.slot === slot).map(({ id, label }) => ({ value: id, label }));
  if (table === "mask.as_sold") return [{ value: "", label: "Nothing" }, ...parts, NOT_HERE("part")];
  const sold = soldWith(slot, answers, known);
  const label = parts.find((part) => part.value === sold)?.label ?? (sold ? "the new part" : "nothing");
  return [
    { value: "", label: `As sold: ${label}` },
    ...parts.filter((part) => part.value !== sold),
    ...(sold ? [{ value: known.removed, label: "Taken out" }] : []),
    NOT_HERE("part"),
  ];
}

/** @returns {string} the part that the chosen mask has in a slot as sold, "" for none */
function soldWith(/** @type {string} */ slot, answers, known) {
  if (answers["test.mask"] === NEW) return answers[`mask.as_sold.${slot}`] ?? "";
  return known.masks.find((mask) => mask.id === answers["test.mask"])?.as_sold[slot] ?? "";
}
