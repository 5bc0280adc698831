// Describes a part that has no file yet: the contribute form's questions about one.
import { html, nameOf } from "../common/elements.js";
import { say, within } from "../common/say.js";
import { Form } from "../contribute/form.js";
import { entriesFrom } from "../contribute/entries.js";
import { Mistakes } from "../contribute/mistakes.js";
import { NEW } from "../contribute/names.js";
import { partItems } from "../contribute/parts.js";
import { Given } from "../contribute/run-rows.js";
import { button } from "./buttons.js";

/** @typedef {import("./evening.js").NewPart} NewPart */

/**
 * The fields of one new part, with buttons below.
 * @param {NewPart} part
 * @param {Published.Form} known
 * @param {{done: (part: NewPart) => void, cancelled: () => void}} act
 * @returns {HTMLElement}
 */
export function newPartForm({ slot, answers }, known, { done, cancelled }) {
  const place = `test.configuration.${slot}`;
  const label = known.slots.find(([id]) => id === slot)?.[1] ?? slot;
  const element = html("form", { class: "sb-contribute__form", autocomplete: "off", novalidate: "" });
  const items = partItems(`part.${place}`, slot);
  const form = new Form(element, known, () => update(), [
    { title: say("form.new_part", { slot: within(label) }), items },
  ]);
  form.add(new Given(place, NEW));
  const mistakes = new Mistakes(form);
  let all = false;
  const prefix = `part.${place}.`;
  const problems = () => {
    const found = entriesFrom({ ...form.answers(), "test.mask": known.masks[0]?.id ?? "" }, known, "").problems;
    return new Map([...found].filter(([name]) => name.startsWith(prefix)));
  };
  const update = () => {
    form.arrange();
    const found = problems();
    form.judge({ problems: found, warnings: new Map(), overall: null }, (name) => all || touched.has(name));
    mistakes.show(all ? found : new Map());
    return found;
  };
  /** @type {Set<string>} */
  const touched = new Set();
  element.addEventListener("input", update);
  element.addEventListener("focusout", (event) => {
    touched.add(nameOf(event));
    update();
  });
  const finish = () => {
    all = true;
    if (update().size) {
      mistakes.element.focus();
      return;
    }
    const told = Object.entries(form.answers()).filter(([name]) => name.startsWith(prefix));
    done({ slot, answers: Object.fromEntries(told.map(([name, answer]) => [name.slice(prefix.length), answer])) });
  };
  element.addEventListener("submit", (event) => {
    event.preventDefault();
    finish();
  });
  element.append(
    html(
      "p",
      { class: "sb-bench__buttons" },
      button(say("bench_page.keep_part"), finish),
      button(say("bench_page.cancel"), cancelled),
    ),
  );
  form.fill(Object.fromEntries(Object.entries(answers).map(([key, answer]) => [prefix + key, answer])));
  update();
  return html("div", { class: "sb-part" }, mistakes.element, element);
}
