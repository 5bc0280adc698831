// What the parts and configurations of an evening are called, and what to do before a donning: the run sheet's words.
import { say, within } from "../common/say.js";
import { textOf } from "../contribute/names.js";
import { fieldAt } from "../contribute/schema.js";
import { wornList } from "./evening.js";

/**
 * @typedef {import("./evening.js").SetUp} SetUp
 * @typedef {import("./evening.js").Worn} Worn
 */

export class Labels {
  /**
   * @param {Published.Form} form
   * @param {Published.Bench} bench
   */
  constructor(form, bench) {
    this.form = form;
    this.bench = bench;
    this.parts = new Map(form.parts.map(({ id, label }) => [id, label]));
    this.slots = new Map(form.slots);
  }

  /** What the evening's mask is called. */
  mask(/** @type {SetUp} */ { answers }) {
    const known = this.form.masks.find(({ id }) => id === answers["test.mask"]);
    return known?.label ?? `${textOf(answers, "mask.model")} ${textOf(answers, "mask.size")}`.trim();
  }

  part(/** @type {SetUp} */ setUp, /** @type {string} */ slot, /** @type {string} */ part) {
    if (part === this.form.removed) return say("label.without", { slot: within(this.slots.get(slot) ?? slot) });
    const own = setUp.newParts[part];
    return own ? textOf(own.answers, "name").trim() : (this.parts.get(part) ?? part);
  }

  /** "as sold", or the changed parts. */
  change(/** @type {SetUp} */ setUp, /** @type {Worn} */ worn) {
    const parts = wornList(worn, this.form).map(({ slot, part }) => this.part(setUp, slot, part));
    return parts.length ? parts.join(" + ") : say("label.as_sold");
  }

  /** What to beware of with the parts worn. */
  cautions(/** @type {SetUp} */ setUp, /** @type {Worn} */ worn) {
    const said = wornList(worn, this.form).flatMap(({ part }) => {
      const own = setUp.newParts[part];
      return own ? textOf(own.answers, "cautions").split("\n").filter(Boolean) : (this.bench.cautions[part] ?? []);
    });
    return [...new Set(said)];
  }

  /**
   * What to change before a donning.
   * @param {SetUp} setUp
   * @param {{worn: Worn, specimen: number} | null} before
   * @param {{worn: Worn, specimen: number}} next
   * @param {{specimens: number, lasting: (slot: string, part: string) => boolean}} run
   * @returns {string[]} steps, none where it is only to be donned again
   */
  steps(setUp, before, next, { specimens, lasting }) {
    if (!before || before.specimen !== next.specimen) {
      const first = specimens > 1 ? say("sheet.take_specimen", { specimen: next.specimen }) : say("sheet.take_mask");
      const fitted = wornList(next.worn, this.form).map(({ slot, part }) => this.fit(setUp, slot, part, lasting));
      return [first, ...fitted];
    }
    return this.form.slots.flatMap(([slot]) => {
      const [old, part] = [before.worn[slot] ?? "", next.worn[slot] ?? ""];
      if (old === part) return [];
      const off = old && old !== this.form.removed ? [say("sheet.take_off", { part: this.part(setUp, slot, old) })] : [];
      return [...off, ...(part ? [this.fit(setUp, slot, part, lasting)] : [])];
    });
  }

  /** @returns {string} */
  fit(
    /** @type {SetUp} */ setUp,
    /** @type {string} */ slot,
    /** @type {string} */ part,
    /** @type {(slot: string, part: string) => boolean} */ lasting,
  ) {
    if (part === this.form.removed) return say("sheet.take_out", { slot: within(this.slots.get(slot) ?? slot) });
    const label = this.part(setUp, slot, part);
    return lasting(slot, part) ? say("sheet.fit_for_good", { part: label }) : say("sheet.fit", { part: label });
  }

  /** What the evening's protocol is called. */
  protocol(/** @type {SetUp} */ { answers }) {
    return this.word(["result", "protocol"], textOf(answers, "test.result.protocol"));
  }

  exercise(/** @type {string} */ id) {
    return this.word(["result", "exercise", 0, "name"], id);
  }

  /** What a word of a test is called. */
  word(/** @type {(string | number)[]} */ path, /** @type {string} */ value) {
    const words = fieldAt(this.form.schemas.test, path).oneOf ?? [];
    return words.find((word) => word.const === value)?.title ?? value;
  }
}
