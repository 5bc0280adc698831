// The lines in which a reader tells how masks did: a mask each, what came out, and how that was found.
import { chosenBy, Combobox } from "../common/combobox.js";
import { find, findAll } from "../common/elements.js";
import { say, within } from "../common/say.js";
import { isComplete, lineFrom, newLine, textOf, toldBy } from "./told-texts.js";
import { lineWords, otherMask } from "./told-words.js";

/**
 * @typedef {import("./told-texts.js").Line} Line
 * @typedef {import("./told-texts.js").Words} Words
 * @typedef {import("../common/people.js").People} People
 */

const METHOD = /** @type {const} */ (["protocol", "instrument", "size_selection"]);

export class ToldLines {
  /**
   * @param {HTMLElement} root
   * @param {{people: People, worth: Published.OwnResultWorth, changed: () => void}} use
   */
  constructor(root, { people, worth, changed }) {
    this.root = root;
    this.people = people;
    this.worth = worth;
    this.changed = changed;
    this.list = find(root, "ol", HTMLOListElement);
    this.template = find(root, "template", HTMLTemplateElement);
    this.input = find(root, "#sb-told-add", HTMLInputElement);
    /** @type {Map<HTMLElement, Line>} */
    this.lines = new Map();
    /** @type {Words} */
    this.words = {
      configurations: people.number,
      styles: this.choices("style"),
      classes: this.choices("class").filter((value) => value !== ""),
      kinds: Object.keys(worth.kinds),
      methods: {
        protocol: this.choices("protocol"),
        instrument: this.choices("instrument"),
        size_selection: this.choices("size_selection"),
      },
      reference: worth.reference,
    };
    this.combobox = new Combobox(this.input, {
      search: (query) => chosenBy(this.masks(), query),
      choose: (id) => this.tellOf({ configuration: id }) });
    find(root, "[data-action=other]", HTMLElement).addEventListener("click", () => {
      this.tellOf({ style: this.words.styles[0] ?? "" });
    });
  }

  /** What was told, as texts. */
  get texts() {
    return this.complete.map((line) => textOf(line, this.words));
  }

  /** What was told, for the model. */
  get told() {
    return this.complete.flatMap((line) => toldBy(line) ?? []);
  }

  /** What the masks are called that something was told of. */
  get masksTold() {
    return this.complete.map((line) => this.label(line));
  }

  get complete() {
    return [...this.lines.values()].filter(isComplete);
  }

  /**
   * Takes lines from texts, in place of those there are; gives the texts that tell nothing here.
   * @param {string[]} texts
   */
  restore(texts) {
    this.lines.clear();
    this.list.replaceChildren();
    return texts.filter((text) => {
      const line = lineFrom(text, this.words);
      const twice = line?.configuration && [...this.lines.values()].some((one) => one.configuration === line.configuration);
      if (!line || twice) return true;
      this.add(line);
      return false;
    });
  }

  /** Masks to choose from, those that most wearers tried first. */
  masks() {
    const taken = new Set([...this.lines.values()].map(({ configuration }) => configuration));
    return this.people.configurations
      .filter(({ id }) => !taken.has(id))
      .sort((a, b) => b.wearers - a.wearers || (a.id < b.id ? -1 : 1))
      .map(({ id, label }) => ({ value: id, label, hint: "" }));
  }

  /** A line for a mask that the reader names; the keyboard goes on to what came out. */
  tellOf(/** @type {Partial<Line>} */ mask) {
    const element = this.add(newLine(this.words, mask));
    find(element, mask.configuration ? "[name=outcome]" : "[name=style]", HTMLSelectElement).focus();
    this.changed();
  }

  /** @param {Line} line */
  add(line) {
    const element = find(/** @type {DocumentFragment} */ (this.template.content.cloneNode(true)), "li", HTMLLIElement);
    for (const [name, value] of Object.entries(valuesOf(line))) fieldOf(element, name).value = value;
    this.lines.set(element, line);
    find(element, "[data-action=remove]", HTMLElement).addEventListener("click", () => this.remove(element));
    element.addEventListener("input", () => this.read(element));
    this.list.append(element);
    this.show(element);
    return element;
  }

  /** Takes a line as it stands in its fields. */
  read(/** @type {HTMLElement} */ element) {
    const line = this.lines.get(element);
    if (!line) return;
    const value = (/** @type {string} */ name) => fieldOf(element, name).value;
    Object.assign(line, {
      ...(line.configuration ? {} : { style: value("style"), maskClass: value("class") }),
      outcome: value("outcome"),
      figure: value("figure"),
      kind: value("kind"),
      method: Object.fromEntries(METHOD.map((name) => [name, value(name)])),
    });
    this.show(element);
    this.changed();
  }

  remove(/** @type {HTMLElement} */ element) {
    this.lines.delete(element);
    element.remove();
    this.input.focus();
    this.combobox.close();
    this.changed();
  }

  /** Shows the fields that go with what came out, and says it back. */
  show(/** @type {HTMLElement} */ element) {
    const line = this.lines.get(element);
    if (!line) return;
    const mask = this.label(line);
    find(element, "strong", HTMLElement).textContent = mask;
    find(element, "[data-action=remove]", HTMLElement).setAttribute("aria-label", say("own.remove_mask", { mask }));
    find(element, ".sb-told__other", HTMLElement).hidden = line.configuration !== "";
    for (const part of findAll(element, "[data-for]", HTMLElement)) {
      part.hidden = !(part.dataset.for ?? "").split(" ").includes(line.outcome);
    }
    const said = find(element, ".sb-told__said", HTMLElement);
    said.textContent = lineWords(mask, line, { worth: this.worth, how: this.how(element, line) });
    said.hidden = said.textContent === "";
  }

  /** How it was measured, where not as chances are stated for. */
  how(/** @type {HTMLElement} */ element, /** @type {Line} */ { method }) {
    if (METHOD.every((name) => method[name] === this.worth.reference[name])) return "";
    return `${chosen(element, "protocol")}, ${within(chosen(element, "instrument"))}`;
  }

  label(/** @type {Line} */ { configuration, style, maskClass }) {
    const place = this.people.number.get(configuration);
    const known = place === undefined ? undefined : this.people.configurations[place];
    return known ? known.label : otherMask(this.wordFor("style", style), maskClass && this.wordFor("class", maskClass));
  }

  wordFor(/** @type {string} */ name, /** @type {string} */ value) {
    return this.optionsOf(name).find((option) => option.value === value)?.text ?? value;
  }

  choices(/** @type {string} */ name) {
    return this.optionsOf(name).map(({ value }) => value);
  }

  optionsOf(/** @type {string} */ name) {
    return [...find(this.template.content, `[name=${name}]`, HTMLSelectElement).options];
  }
}

function valuesOf(/** @type {Line} */ line) {
  const { outcome, figure, kind, method, style, maskClass } = line;
  return { outcome, figure, kind, ...method, ...(line.configuration ? {} : { style, class: maskClass }) };
}

/** @returns {HTMLInputElement | HTMLSelectElement} */
function fieldOf(/** @type {HTMLElement} */ element, /** @type {string} */ name) {
  const found = element.querySelector(`[name=${name}]`);
  if (found instanceof HTMLInputElement || found instanceof HTMLSelectElement) return found;
  throw new Error(`A line has no field ${name}.`);
}

function chosen(/** @type {HTMLElement} */ element, /** @type {string} */ name) {
  return find(element, `[name=${name}]`, HTMLSelectElement).selectedOptions[0]?.text ?? "";
}
