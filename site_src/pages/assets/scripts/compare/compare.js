// The compare page: what is chosen stands in the address, everything else follows from it.
import { Combobox } from "../common/combobox.js";
import { html, load, say } from "../common/elements.js";
import { plural } from "../common/figures.js";
import { png, save, svgText } from "../common/picture.js";
import { compareArms } from "../statistics/contrasts.js";
import { verdictsInList } from "../statistics/verdicts.js";
import { chosenFrom, MOST, queryOf, tooManyWords } from "./choice.js";
import { picture } from "./drawing.js";
import { configurationsFrom, measuredFrom } from "./measured.js";
import { details, figuresTable, headingText, listSentence, markdown, verdictList } from "./result.js";
import { scatterSentence } from "./verdict-words.js";

const SAVED_WIDTH = 900;
const LEGEND =
  "A dot is one donning, a triangle a reading of “at least”. Thin lines join one wearer's donnings and, from row to row, " +
  "their means; the band is the range, the upright bar the median, the dotted line a fit factor of 100.";
const CAUTION = "A fit factor holds for one person, one sample and one donning. Only a fit test on you tells.";

/** @param {HTMLElement} root */
export async function start(root) {
  try {
    new Comparer(root, await load("configurations.json")).restore();
  } catch (error) {
    const note = root.querySelector(".sb-compare__note");
    say(note, "The data for comparing could not be loaded. What is below is as it was published.");
    throw error;
  }
}

class Comparer {
  /**
   * @param {HTMLElement} root
   * @param {any} published
   */
  constructor(root, published) {
    this.published = published;
    this.configurations = new Map(configurationsFrom(published.configurations).map((one) => [one.id, one]));
    const place = (/** @type {string} */ name) => root.querySelector(`.sb-compare__${name}`);
    this.form = place("form");
    this.list = place("chosen");
    this.input = this.form.querySelector("input");
    this.buttons = place("buttons");
    this.note = place("note");
    this.text = place("text");
    this.result = place("result");
    this.ready = place("ready");
    // Stays in place, so that a change of its text is read out.
    this.heading = html("h2", { class: "sb-compare__heading", "aria-live": "polite" });
    this.chosen = [];
    this.shown = null;
    this.masks = new Map();
    this.combobox = new Combobox(this.input, { choices: () => this.choices(), choose: (id) => this.add(id) });
    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.onPress("link", () => this.copyLink());
    this.onPress("markdown", () => this.copyMarkdown());
    this.onPress("png", () => this.savePng());
    this.onPress("svg", () => this.saveSvg());
    addEventListener("popstate", () => this.restore());
    new ResizeObserver(() => this.draw()).observe(this.result);
    this.result.append(this.heading);
    this.body = this.result.appendChild(html("div"));
    this.form.hidden = false;
  }

  onPress(/** @type {string} */ action, /** @type {() => void} */ act) {
    this.form.querySelector(`[data-action=${action}]`).addEventListener("click", act);
  }

  /** Takes the choice from the address. */
  async restore() {
    const { chosen, unknown, tooMany } = chosenFrom(location.search, this.configurations);
    const missing = unknown.length ? `There is no test that counts of ${unknown.join(", ")} here. It was left out.` : "";
    const remark = [missing, tooManyWords(tooMany)].filter(Boolean).join(" ");
    await this.set(chosen.map((id) => this.configurations.get(id)), remark);
  }

  /** Takes a new choice from the reader: a step in the history, so that "back" undoes it. */
  async change(chosen) {
    history.pushState(null, "", location.pathname + queryOf(chosen.map((one) => one.id)));
    await this.set(chosen);
  }

  add(/** @type {string} */ id) {
    if (this.chosen.length < MOST) this.change([...this.chosen, this.configurations.get(id)]);
    else say(this.note, `At most ${MOST} can be compared. Remove one first.`);
  }

  remove(configuration) {
    this.input.focus();
    this.combobox.close();
    this.change(this.chosen.filter((one) => one !== configuration));
  }

  /** Puts a configuration first. */
  async promote(configuration) {
    await this.change([configuration, ...this.chosen.filter((one) => one !== configuration)]);
    this.list.querySelector("a").focus();
  }

  /** What can be added: changes of the first one's mask before others, and those that most of its wearers tried first. */
  choices() {
    const [first] = this.chosen;
    const shared = (one) => [...one.wearers].filter((wearer) => first?.wearers.has(wearer)).length;
    return [...this.configurations.values()]
      .filter((one) => !this.chosen.includes(one))
      .map((one) => ({ one, shared: shared(one), sameMask: one.mask === first?.mask }))
      .sort((p, q) => q.sameMask - p.sameMask || q.shared - p.shared || p.one.label.localeCompare(q.one.label, "en"))
      .map(({ one, shared: both }) => ({
        value: one.id,
        label: one.label,
        hint: first ? `${plural(both, "wearer")} tried both` : plural(one.wearers.size, "wearer"),
      }));
  }

  /**
   * Shows a choice.
   * @param {import("./measured.js").Configuration[]} chosen
   * @param {string} [remark] what to say of it
   */
  async set(chosen, remark = "") {
    this.chosen = chosen;
    say(this.note, remark);
    this.text.hidden = true;
    this.list.replaceChildren(...chosen.map((one, place) => this.chip(one, place)));
    this.ready.hidden = chosen.length > 0;
    this.result.hidden = chosen.length === 0;
    this.buttons.hidden = true;
    if (chosen.length === 0) return;
    // The last result must not stand below another choice while files are on their way.
    this.heading.textContent = "";
    this.body.replaceChildren();
    let rows;
    try {
      rows = await Promise.all(chosen.map((one) => this.row(one)));
    } catch {
      if (this.chosen !== chosen) return;
      this.result.hidden = true;
      say(this.note, "The tests could not be loaded, so nothing can be compared now.");
      return;
    }
    if (this.chosen !== chosen) return; // Changed again meanwhile.
    const [first, ...rest] = rows;
    const compared = verdictsInList(rest.map(({ arms }) => compareArms(first.arms, arms, this.published.scatter)));
    const others = rest.map(({ configuration }, place) => ({ configuration, found: compared[place] }));
    this.shown = { rows, others };
    this.show(first.configuration);
  }

  /** A configuration with what was measured of it and its figures. The file of its mask is fetched once. */
  async row(/** @type {import("./measured.js").Configuration} */ configuration) {
    const { mask, id } = configuration;
    if (!this.masks.has(mask)) {
      const measured = load(`masks/${encodeURIComponent(mask)}.json`).then(measuredFrom);
      this.masks.set(mask, measured);
      measured.catch(() => this.masks.delete(mask)); // The next choice tries again.
    }
    return { configuration, ...(await this.masks.get(mask)).get(id) };
  }

  show(first) {
    const { rows, others } = this.shown;
    this.buttons.hidden = others.length === 0;
    this.heading.textContent = headingText(first, others);
    const inList = listSentence(others.length);
    this.drawing = html("figure", { class: "sb-compare__picture" });
    this.body.replaceChildren(
      ...(others.length ? [verdictList(first, others)] : []),
      ...(inList ? [html("p", {}, inList)] : []),
      this.drawing,
      html("p", { class: "sb-muted" }, LEGEND),
      figuresTable(rows),
      ...(others.length ? [html("h2", {}, "Each comparison in full")] : []),
      ...others.map((against) => details(first, against, this.published.facial_hair)),
      html("p", { class: "sb-muted" }, scatterSentence(this.published.scatter)),
    );
    this.draw();
  }

  /** Draws the picture as wide as its place. */
  draw() {
    const width = this.drawing?.clientWidth;
    if (!width || this.drawing.firstChild?.width?.baseVal.value === width) return;
    const title = "Fit factor of every donning, by configuration; the table below holds the figures.";
    this.drawing.replaceChildren(picture(this.shown.rows, { width, top: this.published.top, title }));
  }

  chip(one, place) {
    const address = `../masks/${encodeURIComponent(one.mask)}/#${one.id}`;
    const first = html("span", { class: "sb-muted" }, "the others are compared with this");
    const named = () => html("span", { class: "sb-hidden" }, ` (${one.label})`);
    const promote = html("button", { type: "button" }, "Compare with this", named());
    const remove = html("button", { type: "button" }, "Remove", named());
    promote.addEventListener("click", () => this.promote(one));
    remove.addEventListener("click", () => this.remove(one));
    return html("li", {}, html("a", { href: address }, one.label), " ", place ? promote : first, " ", remove);
  }

  copyLink() {
    return this.copy(location.href, "Link copied.");
  }

  copyMarkdown() {
    const { rows, others } = this.shown;
    return this.copy(markdown(rows, others, location.href, this.cautions()), "Table copied.");
  }

  async copy(text, done) {
    try {
      await navigator.clipboard.writeText(text);
      this.text.hidden = true;
      say(this.note, done);
    } catch {
      this.text.value = text;
      this.text.hidden = false;
      this.text.select();
      say(this.note, "The browser does not let this page copy. Copy it from here:");
    }
  }

  /** The picture for a file: of one width for everybody, with where it is from. */
  savedPicture() {
    const caption = [...this.cautions(), location.href];
    return picture(this.shown.rows, { width: SAVED_WIDTH, top: this.published.top, caption });
  }

  saveSvg() {
    save(new Blob([svgText(this.savedPicture())], { type: "image/svg+xml" }), "comparison.svg");
  }

  async savePng() {
    const drawing = this.savedPicture();
    const [width, height] = [drawing.width.baseVal.value, drawing.height.baseVal.value];
    save(await png(svgText(drawing), width, height), "comparison.png");
  }

  cautions() {
    const invented = this.published.invented ? ["Invented demo data: do not choose a mask by it."] : [];
    return [`Sealbook, tests up to ${this.published.newest}. ${CAUTION}`, ...invented];
  }
}
