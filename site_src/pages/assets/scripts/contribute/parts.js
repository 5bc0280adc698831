// What the form asks about the slots of a mask, and about a part that has no file yet.
import { say, within } from "../common/say.js";

/** @typedef {import("./layout.js").Item} Item */

/**
 * The slots of a table, each with what a part that has no file yet is asked.
 * @param {string} table one whose keys are slots and whose values are parts
 * @param {[string, string][]} slots each with its label
 * @returns {Item[]}
 */
export function partsOf(table, slots) {
  return slots.flatMap(([slot, label]) => {
    const name = `part.${table}.${slot}`;
    return [
      { name: `${table}.${slot}`, label },
      { title: say("form.new_part", { slot: within(label) }), name, items: partItems(name, slot) },
    ];
  });
}

/**
 * What is asked about a part.
 * @param {string} name what the names of its questions begin with
 * @param {string} slot
 * @returns {Item[]}
 */
export function partItems(name, slot) {
  const section = [
    { name: `${name}.section.shape`, label: say("form.cross_section") },
    { name: `${name}.section.material`, label: say("form.metal") },
    { name: `${name}.section.width_mm`, label: say("form.width"), unit: "mm", required: true },
    { name: `${name}.section.thickness_mm`, label: say("form.thickness"), unit: "mm", required: true },
    { name: `${name}.section.diameter_mm`, label: say("form.diameter"), unit: "mm", required: true },
    { name: `${name}.section.count`, label: say("form.wires_side_by_side") },
  ];
  return [
    { name: `${name}.name`, label: say("form.name_of_the_part") },
    { name: `${name}.material`, label: say("form.material") },
    { name: `${name}.fitting`, label: say("form.how_it_is_fitted") },
    { name: `${name}.can_be_undone`, label: say("form.can_be_undone") },
    {
      title: say("form.more_about_this_part"),
      folded: true,
      items: [
        { name: `${name}.dimensions`, label: say("form.dimensions") },
        { name: `${name}.cautions`, label: say("form.cautions"), hint: say("form.hint.cautions") },
        ...(slot === "nose-wire" ? section : []),
        { name: `${name}.notes`, label: say("form.notes_on_the_part") },
        { name: `${name}.source.link`, label: say("form.web_address") },
        { name: `${name}.id`, label: say("form.short_name"), hint: say("form.hint.file") },
      ],
    },
  ];
}
