// The page that measures all by one mask: which one stands in the address, the figures are the builder's.
import { rowsFromColumns } from "../common/columns.js";
import { find, html, show } from "../common/elements.js";
import { atRoot, Kept, load } from "../common/files.js";
import { count, say } from "../common/say.js";
import { withAsked } from "../common/method.js";
import { configurationsFrom } from "../compare/measured.js";
import { cellsOf, ticksOf } from "./yardstick-rows.js";

const KEY = "of";
/** Rows shown at first and further ones at a time, as many as the page holds without scripts. */
const PAGE = 60;
const LABELS = "../compare/configurations.json";

/** @param {HTMLElement} root */
export async function start(root) {
  const select = find(root, "select", HTMLSelectElement);
  const said = find(root, ".sb-yardstick__said", HTMLElement);
  const page = new Yardstick(root, select, said);
  select.disabled = false;
  select.addEventListener("change", () => page.choose(select.value));
  addEventListener("popstate", () => page.restore());
  // By the mask that the page is published with there is nothing to fetch until more rows are wanted.
  await page.restore();
}

class Yardstick {
  /**
   * @param {HTMLElement} root
   * @param {HTMLSelectElement} select
   * @param {HTMLElement} said
   */
  constructor(root, select, said) {
    this.select = select;
    this.said = said;
    this.published = root.dataset.reference ?? "";
    this.body = find(root, "tbody", HTMLElement);
    this.ticks = find(root, ".sb-yardstick__ticks", HTMLElement);
    this.more = find(root, ".sb-yardstick__more", HTMLButtonElement);
    this.apart = find(root, ".sb-yardstick__apart", HTMLElement);
    this.bare = root.querySelector(".sb-yardstick__bare");
    this.reference = this.published;
    this.shown = this.body.children.length;
    // What things are called is in this page's language; the figures hold no words.
    this.files = new Kept((file) => load(file === LABELS ? file : atRoot(file)));
    this.more.addEventListener("click", () => this.show(this.reference, this.shown + PAGE));
    if (this.bare) this.offer(Infinity);
    this.bare?.remove();
  }

  async restore() {
    const asked = new URLSearchParams(location.search).get(KEY) ?? this.published;
    const known = [...this.select.options].some(({ value }) => value === asked);
    const reference = known ? asked : this.published;
    this.select.value = reference;
    if (!known) show(this.said, say("yardstick.unknown", { mask: asked }));
    else if (reference !== this.reference) await this.show(reference, PAGE);
  }

  async choose(/** @type {string} */ reference) {
    history.pushState(null, "", withAsked(location.pathname + location.search, KEY, reference));
    await this.show(reference, PAGE);
  }

  /** Shows so many rows by a mask. */
  async show(/** @type {string} */ reference, /** @type {number} */ rows) {
    this.reference = reference;
    try {
      const files = [this.files.get(LABELS), this.files.get(`${encodeURIComponent(reference)}.packed`)];
      const [labels, ladder] = await Promise.all(files);
      if (this.reference !== reference) return; // Chosen again meanwhile.
      this.fill(/** @type {Published.Comparables} */ (labels), /** @type {Published.Yardstick} */ (ladder), rows);
    } catch {
      show(this.said, say("yardstick.not_loaded"));
    }
  }

  /**
   * @param {Published.Comparables} comparables
   * @param {Published.Yardstick} ladder
   * @param {number} most
   */
  fill(comparables, ladder, most) {
    const names = new Map(configurationsFrom(comparables.configurations).map(({ id, label }) => [id, label]));
    const name = (/** @type {string} */ id) => names.get(id) ?? id;
    const rows = rowsFromColumns(ladder.rows);
    this.body.replaceChildren(
      ...rows.slice(0, most).map((row) => html("tr", {}, ...cellsOf(row, ladder, comparables.strip, name))),
    );
    this.ticks.replaceChildren(ticksOf(ladder, comparables.strip));
    this.shown = Math.min(most, rows.length);
    const configurations = count("configuration", rows.length);
    show(this.said, say("yardstick.all_by", { mask: name(this.reference), configurations }));
    this.offer(rows.length - this.shown);
    const apart = ladder.apart.slice(0, PAGE).map(name).join("; ");
    show(this.apart, apart && say("yardstick.apart", { configurations: apart }));
  }

  offer(/** @type {number} */ left) {
    this.more.hidden = left <= 0;
    this.more.textContent = say("yardstick.more", { next: Math.min(PAGE, left) });
  }
}
