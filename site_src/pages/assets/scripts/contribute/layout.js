// What the form asks: which keys of which entry, in which order and with which labels. Limits are the schemas'.
import { say } from "../common/say.js";
import { partsOf } from "./parts.js";

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
      title: say("form.mask_and_change"),
      items: [
        ...maskItems(slots),
        { title: say("form.what_was_changed"), folded: true, items: partsOf("test.configuration", slots) },
      ],
    },
    { title: say("head.wearer"), items: wearerItems() },
    {
      title: say("form.result"),
      items: [
        { name: "test.date", label: say("form.date") },
        numberItem(),
        { name: "test.result.protocol", label: say("form.protocol") },
        ...resultItems(),
        setAsideItem(),
      ],
    },
    { title: say("form.the_very_mask_worn"), folded: true, items: specimenItems() },
    { title: say("form.how_it_was_measured"), folded: true, items: conditionItems() },
    { title: say("form.what_the_wearer_noticed"), folded: true, items: observationItems() },
    { title: say("form.you"), items: yourItems() },
  ];
}

/**
 * The mask, also one that has no file yet.
 * @param {[string, string][]} slots
 * @returns {Item[]}
 */
export function maskItems(slots) {
  return [
    { name: "test.mask", label: say("form.mask"), hint: say("form.hint.mask") },
    {
      title: say("form.the_new_mask"),
      name: "mask",
      items: [
        { name: "mask.model", label: say("form.model") },
        { name: "mask.size", label: say("form.size") },
        { name: "mask.maker", label: say("form.maker") },
        { name: "mask.style", label: say("form.style") },
        { name: "mask.class", label: say("form.class") },
        { name: "mask.class_name", label: say("form.name_of_the_class"), required: true },
        { title: say("form.what_it_has_as_sold"), folded: true, items: partsOf("mask.as_sold", slots) },
        {
          title: say("form.more_about_this_mask"),
          folded: true,
          items: [
            { name: "mask.filter.penetration_percent", label: say("form.filter_penetration"), unit: "%" },
            { name: "mask.filter.flow_l_min", label: say("form.air_flow_of_that_test"), unit: "l/min" },
            { name: "mask.filter.size_selection", label: say("form.sizes_counted_in_that_test") },
            { name: "mask.filter.source", label: say("form.who_measured_the_filter") },
            { name: "mask.notes", label: say("form.notes_on_the_mask") },
            { name: "mask.source.link", label: say("form.web_address") },
            { name: "mask.id", label: say("form.short_name"), hint: say("form.hint.file") },
          ],
        },
      ],
    },
  ];
}

/** @returns {Item[]} */
export function wearerItems() {
  return [
    {
      name: "test.face.wearer",
      label: say("form.pseudonym_of_the_wearer"),
      hint: say("form.hint.wearer"),
    },
    { name: "test.face.facial_hair", label: say("form.facial_hair") },
    {
      name: "face.known",
      label: say("form.face"),
      choices: [
        ["mm", say("form.in_millimetres")],
        ["cell", say("form.only_the_panel_cell")],
        ["", say("form.not_measured")],
      ],
    },
    { name: "test.face.length_mm", label: say("form.face_length"), unit: "mm", required: true },
    { name: "test.face.width_mm", label: say("form.face_width"), unit: "mm", required: true },
    { name: "test.face.cell", label: say("form.panel_cell"), required: true },
    { name: "test.face.nose_bridge", label: say("form.nose_bridge") },
  ];
}

/** @returns {Question} */
export function numberItem() {
  return { name: "test.number", label: say("form.donning_of_the_day"), hint: say("form.hint.number") };
}

/**
 * What was measured, by a protocol that is asked before.
 * @returns {Item[]}
 */
export function resultItems() {
  return [
    {
      name: "result.kind",
      label: say("form.what_you_have"),
      choices: [
        ["overall", say("form.one_overall_value")],
        ["exercise", say("form.each_exercise")],
        ["counts", say("form.raw_counts")],
      ],
    },
    {
      name: "test.result.fit_factor",
      label: say("form.fit_factor"),
      hint: say("form.hint.fit_factor"),
      required: true,
    },
    {
      name: "test.result.at_least",
      label: say("form.at_least"),
      hint: say("form.hint.at_least"),
    },
    {
      name: "counts.measure",
      label: say("form.the_counter_gives"),
      choices: [
        ["particles", say("form.particles")],
        ["concentration", say("form.particles_per_cm3")],
      ],
    },
    { rows: "test.result.exercise" },
    { rows: "test.result.counts" },
    { overall: true },
  ];
}

/** @returns {Group} */
export function setAsideItem() {
  return {
    title: say("form.this_take_does_not_count"),
    folded: true,
    items: [{ name: "test.result.set_aside", label: say("form.why") }],
  };
}

/** @returns {Question[]} */
export function specimenItems() {
  return [
    { name: "test.specimen.label", label: say("form.specimen") },
    { name: "test.specimen.lot", label: say("form.lot") },
    { name: "test.specimen.donnings_before", label: say("form.donnings_before") },
    { name: "test.specimen.hours_before", label: say("form.hours_worn_before"), unit: "h" },
    { name: "test.specimen.straps_mm", label: say("form.straps_shortened_by"), unit: "mm" },
    { name: "test.specimen.straps_notch", label: say("form.notch_of_the_straps") },
  ];
}

/** @returns {Question[]} */
export function conditionItems() {
  return [
    { name: "test.conditions.instrument", label: say("form.instrument") },
    { name: "test.conditions.size_selection", label: say("form.particle_sizes") },
    { name: "test.conditions.ambient_per_cm3", label: say("form.ambient_level"), unit: say("form.unit_per_cm3") },
    { name: "test.conditions.aerosol", label: say("form.aerosol") },
    { name: "test.conditions.probe", label: say("form.probe") },
    { name: "test.conditions.purge_seconds", label: say("form.purge"), unit: "s" },
    { name: "test.conditions.zero_check", label: say("form.zero_check") },
    { name: "test.conditions.probe_check", label: say("form.check_of_the_probe") },
    { name: "test.conditions.seal_check", label: say("form.seal_check") },
    { name: "test.conditions.helped", label: say("form.helped") },
    { name: "test.conditions.glasses", label: say("form.glasses_on") },
    { name: "test.conditions.order", label: say("form.place_in_the_run") },
    { name: "test.conditions.temperature_c", label: say("form.temperature"), unit: "°C" },
    { name: "test.conditions.humidity_percent", label: say("form.humidity"), unit: "%" },
  ];
}

/** @returns {Question[]} */
export function observationItems() {
  return [
    { name: "test.observations.leaks", label: say("form.leaks") },
    { name: "test.observations.comfort", label: say("form.comfort") },
    { name: "test.observations.breathing_effort", label: say("form.effort_of_breathing") },
    { name: "test.observations.touches_eyes", label: say("form.touches_the_eyes") },
    { name: "test.observations.fogging", label: say("form.fogging") },
    { name: "test.observations.notes", label: say("form.notes_on_the_test") },
  ];
}

/** @returns {Question[]} */
export function yourItems() {
  return [
    { name: "test.contributor", label: say("form.your_pseudonym"), hint: say("form.hint.contributor") },
    {
      name: "test.source.link",
      label: say("form.link"),
      hint: say("form.hint.link"),
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
