// What the form's lists of choices hold: words of the vocabulary, masks, and the parts of a slot.
import { say } from "../common/say.js";
import { NEW, textOf } from "./names.js";

/**
 * @typedef {{value: string, label: string, meaning?: string}} Option
 * @typedef {import("./names.js").Answers} Answers
 */

/**
 * The choices of a question; null where it is none between choices.
 * @param {string} name
 * @param {import("./schema.js").Field} field
 * @param {Answers} answers
 * @param {Published.Form} known
 * @returns {Option[] | null}
 */
export function optionsFor(name, field, answers, known) {
  if (name === "test.mask") {
    const masks = known.masks.map(({ id, label }) => ({ value: id, label }));
    return [{ value: "", label: say("form.choose") }, ...masks, { value: NEW, label: say("form.new_mask") }];
  }
  const [, table, slot] = /^(mask\.as_sold|test\.configuration)\.([a-z-]+)$/.exec(name) ?? [];
  if (table && slot) return partOptions(table, slot, answers, known);
  const open = { value: "", label: say(field.required ? "form.choose" : "form.not_given") };
  if (field.kind === "word") {
    const words = field.oneOf ?? [];
    return [open, ...words.map((word) => ({ value: word.const, label: word.title, meaning: word.description }))];
  }
  const yesOrNo = field.kind === "boolean" && field.default === undefined;
  return yesOrNo ? [open, { value: "yes", label: say("form.yes") }, { value: "no", label: say("form.no") }] : null;
}

/**
 * The parts for a slot; for a change all but the one that the mask is sold with.
 * @param {string} table
 * @param {string} slot
 * @param {Answers} answers
 * @param {Published.Form} known
 * @returns {Option[]}
 */
function partOptions(table, slot, answers, known) {
  const parts = known.parts.filter((part) => part.slot === slot).map(({ id, label }) => ({ value: id, label }));
  const anew = { value: NEW, label: say("form.a_new_part") };
  if (table === "mask.as_sold") return [{ value: "", label: say("form.nothing") }, ...parts, anew];
  const sold = soldWith(slot, answers, known);
  return [
    { value: "", label: asSold(parts.find((part) => part.value === sold)?.label, sold !== "") },
    ...parts.filter((part) => part.value !== sold),
    ...(sold ? [{ value: known.removed, label: say("form.taken_out") }] : []),
    anew,
  ];
}

/**
 * The choice to change nothing: "As sold: Ear loops".
 * @param {string | undefined} part its label, where it is known
 * @param {boolean} some whether there is a part
 */
function asSold(part, some) {
  return say("form.as_sold", { part: part ?? say(some ? "form.part_new" : "form.part_none") });
}

/** @returns {string} the part that the chosen mask has in a slot as sold, "" for none */
function soldWith(/** @type {string} */ slot, /** @type {Answers} */ answers, /** @type {Published.Form} */ known) {
  if (answers["test.mask"] === NEW) return textOf(answers, `mask.as_sold.${slot}`);
  return known.masks.find((mask) => mask.id === answers["test.mask"])?.as_sold[slot] ?? "";
}
