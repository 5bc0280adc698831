// The compare page: what is chosen stands in the address, everything else follows from it.
import { chosenBy, Combobox } from "../common/combobox.js";
import { configurationAddress } from "../common/configuration-address.js";
import { find, html, show } from "../common/elements.js";
import { Kept, load, atRoot } from "../common/files.js";
import { methodAsked, withMethod } from "../common/method.js";
import { savePng, saveSvg } from "../common/picture.js";
import { say } from "../common/say.js";
import { verdictsInList } from "../statistics/verdicts.js";
import { chosenFrom, MOST, queryOf } from "./choice.js";
import { leftOutWords, methodWords, notMeasuredWords } from "./choice-words.js";
import { Comparisons } from "./comparisons.js";
import { picture } from "./drawing.js";
import { leagueOf, pairsOf } from "./league.js";
import { leaguePicture } from "./league-drawing.js";
import { leagueSentence } from "./league-words.js";
import { configurationsFrom, measuredBy, measuredFrom } from "./measured.js";
import { pageOf } from "./pair-page.js";
import { ratioPicture } from "./ratio-drawing.js";
import { ratioRows } from "./ratio-rows.js";
import { details, figuresTable, markdown, verdictList } from "./result.js";
import { cautions, headingText, hintWords, listSentence, pictureTitle } from "./result-words.js";
import { savedPicture } from "./saved-picture.js";
import { scatterSentence } from "./verdict-words.js";

/**
 * @typedef {import("./measured.js").Configuration} Configuration
 * @typedef {import("./measured.js").Shown} Shown
 * @typedef {import("./result.js").Against} Against
 * @typedef {{place: HTMLElement, draw: (width: number) => SVGSVGElement, width: number}} Figure a picture as wide as its
 *   place; `width` is that of what is drawn, 0 before
 */

/** @param {HTMLElement} root */
export async function start(root) {
  try {
    const published = /** @type {Published.Comparables} */ (await load("configurations.json"));
    await new Comparer(root, published).restore();
  } catch (error) {
    show(find(root, ".sb-compare__note", HTMLElement), say("compare.not_loaded"));
    throw error;
  }
}

class Comparer {
  /**
   * @param {HTMLElement} root
   * @param {Published.Comparables} published
   */
  constructor(root, published) {
    this.published = published;
    this.configurations = new Map(configurationsFrom(published.configurations).map((one) => [one.id, one]));
    this.form = find(root, "form", HTMLFormElement);
    this.list = find(root, ".sb-compare__chosen", HTMLElement);
    this.input = find(this.form, "input", HTMLInputElement);
    this.buttons = find(root, ".sb-compare__buttons", HTMLElement);
    this.note = find(root, ".sb-compare__note", HTMLElement);
    this.text = find(root, "textarea", HTMLTextAreaElement);
    this.result = find(root, ".sb-compare__result", HTMLElement);
    this.ready = find(root, ".sb-compare__ready", HTMLElement);
    // Stays in place, so that a change of its text is read out.
    this.heading = html("h2", { class: "sb-compare__heading", "aria-live": "polite" });
    this.body = html("div");
    /** @type {Figure[]} */
    this.figures = [];
    /** The figures being drawn, each with the width that its place had. @type {{figure: Figure, width: number}[]} */
    this.asked = [];
    /** @type {Configuration[]} */
    this.chosen = [];
    this.method = "";
    /** How what is shown was measured, in a sentence. */
    this.measured = "";
    this.methods = this.form.querySelector("select");
    this.said = this.form.querySelector(".sb-narrow__said");
    this.methods?.addEventListener("change", () => this.narrow(this.methods?.value ?? ""));
    /** @type {{rows: Shown[], others: Against[], league: import("./league.js").League | null}} */
    this.shown = { rows: [], others: [], league: null };
    this.comparisons = new Comparisons(published);
    this.masks = new Kept(async (mask) => {
      const measured = await load(atRoot(`masks/${encodeURIComponent(mask)}.packed`));
      return measuredFrom(/** @type {Published.MaskMeasured} */ (measured));
    });
    this.combobox = new Combobox(this.input, {
      search: (query) => chosenBy(this.choices(), query),
      choose: (id) => this.add(id) });
    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.onPress("link", () => this.copyLink());
    this.onPress("markdown", () => this.copyMarkdown());
    this.onPress("png", () => this.savePng());
    this.onPress("svg", () => this.saveSvg());
    addEventListener("popstate", () => this.restore());
    new ResizeObserver(() => this.draw()).observe(this.result);
    this.result.append(this.heading, this.body);
    this.form.hidden = false;
  }

  onPress(/** @type {string} */ action, /** @type {() => void} */ act) {
    find(this.form, `[data-action=${action}]`, HTMLElement).addEventListener("click", act);
  }

  /** Takes the choice from the address. */
  async restore() {
    const { renamed } = this.published;
    const { chosen, unknown, tooMany } = chosenFrom(location.search, this.configurations, renamed);
    const known = chosen.flatMap((id) => this.configurations.get(id) ?? []);
    const asked = methodAsked();
    const hasMethod = asked === "" || asked in this.published.method_names;
    this.method = hasMethod ? asked : "";
    if (this.methods) this.methods.value = this.method;
    const remarks = [leftOutWords({ unknown, tooMany }), hasMethod ? "" : say("method.none_here")];
    await this.set(known, remarks.filter(Boolean).join(" "));
  }

  /** Takes a new choice from the reader: a step in the history, so that "back" undoes it. */
  async change(/** @type {Configuration[]} */ chosen) {
    history.pushState(null, "", location.pathname + withMethod(queryOf(chosen.map((one) => one.id)), this.method));
    await this.set(chosen);
  }

  /** Takes a method to narrow to from the reader. */
  async narrow(/** @type {string} */ method) {
    this.method = method;
    await this.change([...this.chosen]);
  }

  add(/** @type {string} */ id) {
    const added = this.configurations.get(id) ?? [];
    if (this.chosen.length < MOST) this.change(this.chosen.concat(added));
    else show(this.note, say("choice.full", { most: MOST }));
  }

  remove(/** @type {Configuration} */ configuration) {
    this.input.focus();
    this.combobox.close();
    this.change(this.chosen.filter((one) => one !== configuration));
  }

  /** Puts a configuration first. */
  async promote(/** @type {Configuration} */ configuration) {
    await this.change([configuration, ...this.chosen.filter((one) => one !== configuration)]);
    this.list.querySelector("a")?.focus();
  }

  /** What can be added: changes of the first one's mask before others, and those that most of its wearers tried first. */
  choices() {
    const [first] = this.chosen;
    const shared = (/** @type {Configuration} */ one) =>
      [...one.wearers].filter((wearer) => first?.wearers.has(wearer)).length;
    return [...this.configurations.values()]
      .filter((one) => !this.chosen.includes(one))
      .map((one) => ({ one, shared: shared(one), sameMask: one.mask === first?.mask ? 1 : 0 }))
      .sort((p, q) => q.sameMask - p.sameMask || q.shared - p.shared || p.one.label.localeCompare(q.one.label, "en"))
      .map(({ one, shared: both }) => ({
        value: one.id,
        label: one.label,
        text: one.kinds,
        hint: hintWords(both, one.wearers.size, first !== undefined),
      }));
  }

  /**
   * Shows a choice.
   * @param {Configuration[]} chosen
   * @param {string} [remark] what to say of it
   */
  async set(chosen, remark = "") {
    this.chosen = chosen;
    show(this.note, remark);
    this.text.hidden = true;
    this.list.replaceChildren(...chosen.map((one, place) => this.chip(one, place)));
    this.ready.hidden = chosen.length > 0;
    this.result.hidden = chosen.length === 0;
    this.buttons.hidden = true;
    const [first, ...rest] = chosen;
    if (this.said) this.said.textContent = "";
    if (!first) return;
    // The last result must not stand below another choice while files are on their way.
    this.heading.textContent = "";
    this.body.replaceChildren();
    let rows;
    try {
      rows = await Promise.all([this.row(first), ...rest.map((one) => this.row(one))]);
    } catch {
      if (this.chosen !== chosen) return;
      this.result.hidden = true;
      show(this.note, say("compare.no_tests"));
      return;
    }
    if (this.chosen !== chosen) return; // Changed again meanwhile.
    const narrowed = rows.flatMap(({ configuration, whole }) => {
      const measured = measuredBy(whole, this.method);
      return measured ? [{ configuration, ...measured }] : [];
    });
    const left = chosen.filter((one) => !narrowed.some(({ configuration }) => configuration === one));
    show(this.note, [remark, notMeasuredWords(left.map((one) => one.label))].filter(Boolean).join(" "));
    const name = this.published.method_names[this.method] ?? "";
    this.measured = methodWords(name, narrowed.flatMap(({ tests }) => tests));
    if (this.said) this.said.textContent = this.measured;
    const [base, ...beside] = narrowed;
    this.result.hidden = !base;
    if (!base) return;
    const pairs = await pairsOf(narrowed, this.comparisons);
    if (this.chosen !== chosen) return;
    const compared = beside.flatMap(({ configuration }, place) => {
      const found = pairs.find(({ i, j }) => i === 0 && j === place + 1);
      return found ? [{ configuration, ...found }] : [];
    });
    const others = verdictsInList(compared).map(({ configuration, ...found }) => ({ configuration, found }));
    const league = others.length > 1 ? leagueOf(narrowed, pairs) : null;
    this.shown = { rows: narrowed, others, league };
    this.show(base.configuration);
  }

  /** A configuration with what was measured of it. */
  async row(/** @type {Configuration} */ configuration) {
    const whole = (await this.masks.get(configuration.mask)).get(configuration.id);
    if (!whole) throw new Error(`The file of ${configuration.mask} has no ${configuration.id}.`);
    return { configuration, whole };
  }

  show(/** @type {Configuration} */ first) {
    const { rows, others, league } = this.shown;
    this.buttons.hidden = others.length === 0;
    this.heading.textContent = headingText(first, others.map(({ found }) => found));
    this.figures = [];
    const inList = listSentence(others.length);
    const [against] = others;
    this.body.replaceChildren(
      ...(league ? this.league(league) : []),
      ...(others.length ? [verdictList(first, others)] : []),
      ...(inList ? [html("p", {}, inList)] : []),
      ...(against && !league ? [...this.alone(first, against)] : []),
      this.figure("sb-compare__picture", (width) => picture(rows, width, say("compare.picture"))),
      html("p", { class: "sb-muted" }, say("compare.legend")),
      figuresTable(rows),
      ...(others.length ? [html("h2", {}, say("compare.in_full"))] : []),
      ...others.map((one) =>
        details(first, one, this.published.facial_hair, league ? this.ratios(first, one) : null),
      ),
      ...(league ? [html("p", { class: "sb-muted" }, say("ratios.legend"))] : []),
      html("p", { class: "sb-muted" }, scatterSentence(this.published.scatter)),
    );
    this.draw();
  }

  /** The places that each of several may have, as a picture and in words. */
  league(/** @type {import("./league.js").League} */ league) {
    return [
      this.figure("sb-compare__league", (width) => leaguePicture(league, width)),
      html("p", { class: "sb-compare__told" }, leagueSentence(league)),
      html("p", { class: "sb-muted" }, say("league.about", { comparisons: league.comparisons })),
    ];
  }

  /** What two configurations alone have beside their verdict: the address to paste, and the ratios wearer by wearer. */
  alone(/** @type {Configuration} */ first, /** @type {Against} */ against) {
    const ratios = this.ratios(first, against);
    const page = pageOf(first, against.configuration, this.published.reference);
    return [
      ...(page ? [html("p", {}, html("a", { href: page }, say("ratios.page")))] : []),
      ...(ratios ? [ratios, html("p", { class: "sb-muted" }, say("ratios.legend"))] : []),
    ];
  }

  /** The picture of one comparison over its wearers; null where none of them tells a ratio. */
  ratios(/** @type {Configuration} */ first, /** @type {Against} */ { configuration, found }) {
    const rows = ratioRows(found, this.published.facial_hair);
    const title = say("ratios.picture", { title: pictureTitle(first, [configuration]) });
    return rows.each.length ? this.figure("sb-compare__ratios", (width) => ratioPicture(rows, width, title)) : null;
  }

  figure(/** @type {string} */ css, /** @type {Figure["draw"]} */ draw) {
    const place = html("figure", { class: `sb-compare__figure ${css}` });
    this.figures.push({ place, draw, width: 0 });
    return place;
  }

  /**
   * Draws each picture as wide as its place. All places are measured at once, since each drawing would have the page laid
   * out again; what is further down comes after what is seen first.
   */
  async draw() {
    const asked = this.figures.map((figure) => ({ figure, width: figure.place.clientWidth }));
    this.asked = asked;
    for (const { figure, width } of asked) {
      if (!width || figure.width === width) continue;
      figure.width = width;
      figure.place.replaceChildren(figure.draw(width));
      await new Promise((next) => { setTimeout(next); });
      if (this.asked !== asked) return;
    }
  }

  chip(/** @type {Configuration} */ one, /** @type {number} */ place) {
    const address = withMethod(configurationAddress(one.id), this.method);
    const first = html("span", { class: "sb-muted" }, say("compare.first"));
    const named = () => html("span", { class: "sb-hidden" }, ` (${one.label})`);
    const promote = html("button", { type: "button" }, say("compare.promote"), named());
    const remove = html("button", { type: "button" }, say("compare.remove"), named());
    promote.addEventListener("click", () => this.promote(one));
    remove.addEventListener("click", () => this.remove(one));
    return html("li", {}, html("a", { href: address }, one.label), " ", place ? promote : first, " ", remove);
  }

  /** What stands below what is passed on. */
  below() {
    return [this.measured, ...cautions(this.published)].filter(Boolean);
  }

  copyLink() {
    return this.copy(location.href, say("copy.link"));
  }

  copyMarkdown() {
    const { rows, others } = this.shown;
    return this.copy(markdown(rows, others, location.href, this.below()), say("copy.table"));
  }

  async copy(/** @type {string} */ text, /** @type {string} */ done) {
    try {
      await navigator.clipboard.writeText(text);
      this.text.hidden = true;
      show(this.note, done);
    } catch {
      this.text.value = text;
      this.text.hidden = false;
      this.text.select();
      show(this.note, say("copy.refused"));
    }
  }

  /** The picture for a file: of one width for everybody, with where it is from. */
  savedPicture() {
    const [first, ...others] = this.shown.rows.map(({ configuration }) => configuration);
    const title = first ? pictureTitle(first, others) : "";
    const below = [...this.below(), location.href];
    return savedPicture(this.shown, { title, hair: this.published.facial_hair, below });
  }

  saveSvg() {
    saveSvg(this.savedPicture(), "comparison.svg");
  }

  async savePng() {
    await savePng(this.savedPicture(), "comparison.png");
  }
}
