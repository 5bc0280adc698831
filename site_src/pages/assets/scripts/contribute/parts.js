// What the form asks about the slots of a mask, and about a part that has no file yet.

/** @typedef {import("./layout.js").Item} Item */

export const FILE_HINT = "Names the file and the page: small letters, digits, hyphens. Empty: made from the name.";
export const LINK = "Web address";

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
      { title: `New part: ${label.toLowerCase()}`, name, items: part(name, slot) },
    ];
  });
}

/** @returns {Item[]} */
function part(/** @type {string} */ name, /** @type {string} */ slot) {
  const section = [
    { name: `${name}.section.shape`, label: "Cross-section" },
    { name: `${name}.section.material`, label: "Metal" },
    { name: `${name}.section.width_mm`, label: "Width", unit: "mm", required: true },
    { name: `${name}.section.thickness_mm`, label: "Thickness", unit: "mm", required: true },
    { name: `${name}.section.diameter_mm`, label: "Diameter", unit: "mm", required: true },
    { name: `${name}.section.count`, label: "Wires side by side" },
  ];
  return [
    { name: `${name}.name`, label: "Name of the part" },
    { name: `${name}.material`, label: "Material" },
    { name: `${name}.fitting`, label: "How it is fitted" },
    { name: `${name}.can_be_undone`, label: "Can be undone" },
    {
      title: "More about this part",
      folded: true,
      items: [
        { name: `${name}.dimensions`, label: "Dimensions" },
        { name: `${name}.cautions`, label: "Cautions", hint: "What to beware of, one a line." },
        ...(slot === "nose-wire" ? section : []),
        { name: `${name}.notes`, label: "Notes on the part" },
        { name: `${name}.source.link`, label: LINK },
        { name: `${name}.id`, label: "Short name", hint: FILE_HINT },
      ],
    },
  ];
}
