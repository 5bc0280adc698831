// What the form asks: which keys of which entry, in which order and with which labels. Limits are the schemas'.
import { FILE_HINT, LINK, partsOf } from "./parts.js";

/**
 * @typedef {object} Question one control of the form
 * @property {string} name kind of entry and key, such as `test.face.wearer`
 * @property {string} label
 * @property {string} [unit]
 * @property {string} [hint] instead of the schema's description
 * @property {boolean} [required] even where the schema does not ask for it
 * @property {[string, string][]} [choices] values and labels, for what no key of an entry holds
 */

/**
 * @typedef {object} Group
 * @property {string} title
 * @property {Item[]} items
 * @property {boolean} [folded] closed until the reader opens it
 * @property {string} [name] shown while this is in play
 */

/** @typedef {{rows: string}} Rows a list of tables */
/** @typedef {{overall: true}} Overall the fit factor that follows from exercises or counts */
/** @typedef {Question | Group | Rows | Overall} Item */

/**
 * What the form asks.
 * @param {{slots: [string, string][]}} known the slots that a mask has, each with its label
 * @returns {Group[]}
 */
export function layoutOf({ slots }) {
  return [
    {
      title: "Mask and change",
      items: [
        { name: "test.mask", label: "Mask", hint: "Each size is a mask of its own, since each seals differently." },
        {
          title: "The new mask",
          name: "mask",
          items: [
            { name: "mask.model", label: "Model" },
            { name: "mask.size", label: "Size" },
            { name: "mask.maker", label: "Maker" },
            { name: "mask.style", label: "Style" },
            { name: "mask.class", label: "Class" },
            { name: "mask.class_name", label: "Name of the class", required: true },
            { title: "What it has as sold", folded: true, items: partsOf("mask.as_sold", slots) },
            {
              title: "More about this mask",
              folded: true,
              items: [
                { name: "mask.filter.penetration_percent", label: "Filter penetration", unit: "%" },
                { name: "mask.filter.flow_l_min", label: "Air flow of that test", unit: "l/min" },
                { name: "mask.filter.size_selection", label: "Sizes counted in that test" },
                { name: "mask.filter.source", label: "Who measured the filter" },
                { name: "mask.notes", label: "Notes on the mask" },
                { name: "mask.source.link", label: LINK },
                { name: "mask.id", label: "Short name", hint: FILE_HINT },
              ],
            },
          ],
        },
        { title: "What was changed", folded: true, items: partsOf("test.configuration", slots) },
      ],
    },
    {
      title: "Wearer",
      items: [
        {
          name: "test.face.wearer",
          label: "Pseudonym of the wearer",
          hint: "Two words without meaning, such as blue-heron; the same in every test.",
        },
        { name: "test.face.facial_hair", label: "Facial hair" },
        {
          name: "face.known",
          label: "Face",
          choices: [
            ["mm", "In millimetres"],
            ["cell", "Only the panel cell"],
            ["", "Not measured"],
          ],
        },
        { name: "test.face.length_mm", label: "Face length", unit: "mm", required: true },
        { name: "test.face.width_mm", label: "Face width", unit: "mm", required: true },
        { name: "test.face.cell", label: "Panel cell", required: true },
        { name: "test.face.nose_bridge", label: "Nose bridge" },
      ],
    },
    {
      title: "Result",
      items: [
        { name: "test.date", label: "Date" },
        {
          name: "test.number",
          label: "Donning of the day",
          hint: "1 for the wearer's first test of this mask on that day. Raise it if that file is there.",
        },
        { name: "test.result.protocol", label: "Protocol" },
        {
          name: "result.kind",
          label: "What you have",
          choices: [
            ["overall", "One overall value"],
            ["exercise", "Each exercise"],
            ["counts", "Raw counts"],
          ],
        },
        {
          name: "test.result.fit_factor",
          label: "Fit factor",
          hint: "Outside over inside; 1 is no protection.",
          required: true,
        },
        {
          name: "test.result.at_least",
          label: "At least",
          hint: "At the instrument's ceiling, or no particle counted in the mask.",
        },
        {
          name: "counts.measure",
          label: "The counter gives",
          choices: [
            ["particles", "Particles"],
            ["concentration", "Particles per cm³"],
          ],
        },
        { rows: "test.result.exercise" },
        { rows: "test.result.counts" },
        { overall: true },
        { title: "This take does not count", folded: true, items: [{ name: "test.result.set_aside", label: "Why" }] },
      ],
    },
    {
      title: "The very mask worn",
      folded: true,
      items: [
        { name: "test.specimen.label", label: "Specimen" },
        { name: "test.specimen.lot", label: "Lot" },
        { name: "test.specimen.donnings_before", label: "Donnings before" },
        { name: "test.specimen.hours_before", label: "Hours worn before", unit: "h" },
        { name: "test.specimen.straps_mm", label: "Straps shortened by", unit: "mm" },
        { name: "test.specimen.straps_notch", label: "Notch of the straps" },
      ],
    },
    {
      title: "How it was measured",
      folded: true,
      items: [
        { name: "test.conditions.instrument", label: "Instrument" },
        { name: "test.conditions.size_selection", label: "Particle sizes" },
        { name: "test.conditions.ambient_per_cm3", label: "Ambient level", unit: "per cm³" },
        { name: "test.conditions.aerosol", label: "Aerosol" },
        { name: "test.conditions.probe", label: "Probe" },
        { name: "test.conditions.purge_seconds", label: "Purge", unit: "s" },
        { name: "test.conditions.zero_check", label: "Zero check" },
        { name: "test.conditions.probe_check", label: "Check of the probe" },
        { name: "test.conditions.seal_check", label: "Seal check" },
        { name: "test.conditions.helped", label: "Helped" },
        { name: "test.conditions.glasses", label: "Glasses on" },
        { name: "test.conditions.order", label: "Place in the run" },
        { name: "test.conditions.temperature_c", label: "Temperature", unit: "°C" },
        { name: "test.conditions.humidity_percent", label: "Humidity", unit: "%" },
      ],
    },
    {
      title: "What the wearer noticed",
      folded: true,
      items: [
        { name: "test.observations.leaks", label: "Leaks" },
        { name: "test.observations.comfort", label: "Comfort" },
        { name: "test.observations.breathing_effort", label: "Effort of breathing" },
        { name: "test.observations.touches_eyes", label: "Touches the eyes" },
        { name: "test.observations.fogging", label: "Fogging" },
        { name: "test.observations.notes", label: "Notes on the test" },
      ],
    },
    {
      title: "You",
      items: [
        { name: "test.contributor", label: "Your pseudonym", hint: "Not a name, handle or address." },
        {
          name: "test.source.link",
          label: "Link",
          hint: "If there is one: address of a discussion, log or publication.",
        },
      ],
    },
  ];
}

/** What a new form holds. @type {Readonly<import("./names.js").Answers>} */
export const BLANK = Object.freeze({
  "face.known": "mm",
  "result.kind": "overall",
  "counts.measure": "particles",
  "test.number": "1",
});

/**
 * Every question below some items.
 * @param {Item[]} items
 * @returns {Question[]}
 */
export function questionsIn(items) {
  return items.flatMap((item) => ("items" in item ? questionsIn(item.items) : "label" in item ? [item] : []));
}
