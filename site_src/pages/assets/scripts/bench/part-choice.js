// What to try: parts to tick in each slot, and parts that have no file yet.
import { html } from "../common/elements.js";
import { say } from "../common/say.js";
import { NEW } from "../contribute/names.js";
import { button } from "./buttons.js";
import { nextPartKey } from "./evening.js";
import { newPartForm } from "./new-part.js";

/**
 * @typedef {import("./evening.js").SetUp} SetUp
 * @typedef {import("./evening.js").NewPart} NewPart
 */

export class PartChoice {
  /**
   * @param {Published.Form} known
   * @param {import("./labels.js").Labels} labels
   * @param {{setUp: () => SetUp, change: (changed: Partial<SetUp>) => void}} use
   */
  constructor(known, labels, use) {
    this.known = known;
    this.labels = labels;
    this.use = use;
    this.slots = html("div", { class: "sb-bench__slots" });
    this.editor = html("div");
    this.order = html("p", { class: "sb-muted" });
    this.element = html(
      "fieldset",
      { class: "sb-group sb-bench__try" },
      html("legend", {}, say("bench_page.to_try")),
      html("p", { class: "sb-field__hint" }, say("bench_page.to_try_hint")),
      this.slots,
      this.order,
      this.editor,
    );
    this.drawn = "";
  }

  /** Draws what can be ticked for the mask that is chosen. */
  draw() {
    const setUp = this.use.setUp();
    const { vary, newParts, answers } = setUp;
    const offered = this.known.slots.map(([slot, label]) => ({ slot, label, parts: this.offered(slot, setUp) }));
    const shown = JSON.stringify([vary, newParts, answers["test.mask"], offered]);
    if (shown === this.drawn) return;
    this.drawn = shown;
    const focused = document.activeElement?.id;
    this.slots.replaceChildren(...offered.map((one) => this.slot(one, setUp)));
    if (focused) document.getElementById(focused)?.focus();
    const names = vary.filter(({ parts }) => parts.length).map(({ slot }) => this.slotLabel(slot));
    this.order.textContent = names.length > 1 ? say("bench_page.slot_order", { slots: names.join(", ") }) : "";
  }

  slotLabel(/** @type {string} */ slot) {
    return this.known.slots.find(([id]) => id === slot)?.[1] ?? slot;
  }

  /** Ids of the parts that can be tried in a slot: all but what the mask is sold with; taken out, where it has one. */
  offered(/** @type {string} */ slot, /** @type {SetUp} */ { answers, newParts }) {
    const mask = this.known.masks.find(({ id }) => id === answers["test.mask"]);
    const sold = answers["test.mask"] === NEW ? answers[`mask.as_sold.${slot}`] : mask?.as_sold[slot];
    const known = this.known.parts.filter((part) => part.slot === slot && part.id !== sold).map(({ id }) => id);
    const own = Object.keys(newParts).filter((key) => newParts[key]?.slot === slot);
    return [...known, ...own, ...(sold ? [this.known.removed] : [])];
  }

  /**
   * @param {{slot: string, label: string, parts: string[]}} offered
   * @param {SetUp} setUp
   */
  slot({ slot, label, parts }, setUp) {
    const chosen = setUp.vary.find((one) => one.slot === slot)?.parts ?? [];
    const boxes = parts.map((part) => {
      const id = `try-${slot}-${part}`;
      const box = html("input", { type: "checkbox", id, name: `try.${slot}`, value: part });
      box.checked = chosen.includes(part);
      box.addEventListener("change", () => this.tick(slot, part, box.checked));
      const own = setUp.newParts[part];
      const edit = own ? button(say("bench_page.edit"), () => this.edit(part, own), this.labels.part(setUp, slot, part)) : null;
      return html(
        "span",
        { class: "sb-bench__tick" },
        html("label", { for: id }, box, html("span", {}, this.name(setUp, slot, part))),
        edit,
      );
    });
    const add = button(say("bench_page.new_part"), () => this.edit("", { slot, answers: {} }), label);
    add.id = `new-${slot}`;
    const summary = html("summary", {}, label, chosen.length ? html("span", { class: "sb-muted" }, ` ${chosen.length}`) : null);
    const details = html("details", { class: "sb-more" }, summary, html("div", { class: "sb-bench__ticks" }, ...boxes, add));
    details.open = chosen.length > 0 || this.opened.has(slot);
    details.addEventListener("toggle", () => (details.open ? this.opened.add(slot) : this.opened.delete(slot)));
    return details;
  }

  /** Slots that were opened by hand. @type {Set<string>} */
  opened = new Set();

  name(/** @type {SetUp} */ setUp, /** @type {string} */ slot, /** @type {string} */ part) {
    return part === this.known.removed ? say("form.taken_out") : this.labels.part(setUp, slot, part);
  }

  tick(/** @type {string} */ slot, /** @type {string} */ part, /** @type {boolean} */ chosen) {
    const { vary } = this.use.setUp();
    const own = vary.find((one) => one.slot === slot)?.parts ?? [];
    const parts = chosen ? [...own, part] : own.filter((one) => one !== part);
    const others = vary.filter((one) => one.slot !== slot);
    // A slot that was ticked first stays first: it changes most often.
    const place = vary.findIndex((one) => one.slot === slot);
    const at = place < 0 ? others.length : place;
    const varied = parts.length ? [{ slot, parts }] : [];
    this.use.change({ vary: [...others.slice(0, at), ...varied, ...others.slice(at)] });
  }

  /**
   * @param {string} key "" for one more
   * @param {NewPart} part
   */
  edit(key, part) {
    const close = () => {
      this.editor.replaceChildren();
      document.getElementById(`new-${part.slot}`)?.focus();
    };
    const done = (/** @type {NewPart} */ told) => {
      const setUp = this.use.setUp();
      const own = key || nextPartKey(setUp);
      this.use.change({ newParts: { ...setUp.newParts, [own]: told } });
      if (!key) this.tick(part.slot, own, true);
      close();
    };
    this.editor.replaceChildren(newPartForm(part, this.known, { done, cancelled: close }));
    this.editor.querySelector("input")?.focus();
  }
}
