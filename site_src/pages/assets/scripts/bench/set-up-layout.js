// What is asked before an evening: the contribute form's questions that all takes share.
import { say } from "../common/say.js";
import { conditionItems, maskItems, numberItem, wearerItems, yourItems } from "../contribute/layout.js";

/** Conditions that every sensible set-up tells, and those that belong to a take. */
const FIRST = new Set(["test.conditions.instrument", "test.conditions.size_selection"]);
const OF_A_TAKE = new Set(["test.conditions.seal_check", "test.conditions.order", "test.conditions.glasses"]);

/**
 * @param {Published.Form} form
 * @returns {import("../contribute/layout.js").Group[]}
 */
export function setUpLayout({ slots }) {
  const conditions = conditionItems().filter(({ name }) => !OF_A_TAKE.has(name));
  return [
    { title: say("form.mask"), items: maskItems(slots) },
    { title: say("head.wearer"), items: wearerItems() },
    {
      title: say("form.how_it_was_measured"),
      items: [
        { name: "test.result.protocol", label: say("form.protocol") },
        ...conditions.filter(({ name }) => FIRST.has(name)),
        {
          title: say("bench_page.more_conditions"),
          folded: true,
          items: conditions.filter(({ name }) => !FIRST.has(name)),
        },
      ],
    },
    {
      title: say("form.you"),
      items: [
        ...yourItems(),
        { name: "test.date", label: say("form.date") },
        { ...numberItem(), label: say("bench_page.first_number") },
      ],
    },
  ];
}
