// Narrows a page's figures to one method of measuring, and a mask's to one face type; both stand in the address. What the
// figures are by a method comes ready from the builder, those of a face type are worked out here (narrow-faces.js).
// Without this script the page shows all and says so.
import { start as startChart } from "./chart.js";
import { find, findAll, nodesOf } from "./elements.js";
import { faceTypeAsked, isAny, withFaceType } from "./face-type.js";
import { Kept, PAGES, load } from "./files.js";
import { methodAsked, withAsked, withMethod } from "./method.js";
import { say } from "./say.js";

/** Pages whose figures can be narrowed too: links to them keep the method. */
const NARROWED = /^(explore|compare|(masks|hacks|faces)\/[^/]+)\/$/;
/** Those of them whose figures can be of a face type. */
const OF_FACES = /^(explore|masks\/[^/]+)\/$/;

/** What a page shows whose address asks for nothing, as `asked` writes it. */
const NOTHING = "\n\n";

/** @param {HTMLElement} root */
export async function start(root) {
  const narrowing = new Narrowing(root);
  addEventListener("popstate", () => narrowing.restore());
  await narrowing.restore();
  // The row that the address names came just now.
  if (location.search && location.hash) document.getElementById(decodeURIComponent(location.hash.slice(1)))?.scrollIntoView();
}

class Narrowing {
  /** @param {HTMLElement} root holds the choice, where there is one, and a place for what is said */
  constructor(root) {
    this.root = root;
    this.said = find(root, "[role=status]", HTMLElement);
    this.all = this.said.textContent ?? "";
    this.only = root.dataset.only ?? "";
    /** What the page shows, as `asked` writes it. */
    this.shown = NOTHING;
    this.files = new Kept(async (method) => /** @type {Published.Narrowed} */ (await load(`methods/${method}.packed`)));
    this.places = findAll(document, "[data-narrowed]", HTMLElement).map((element) => ({
      element,
      name: element.dataset.narrowed ?? "",
      nodes: [...element.childNodes],
    }));
    this.selects = Object.fromEntries(
      ["method", "cell", "bridge"].map((name) => [name, root.querySelector(`select[name=${name}]`)]),
    );
    /** Takes the face type back. */
    this.undo = () => {};
    for (const [key, select] of Object.entries(this.selects)) {
      select?.addEventListener("change", () => this.choose(key, valueOf(select)));
    }
    const form = root.querySelector("form");
    if (form) form.hidden = false;
  }

  /** Takes a choice from the reader: a step in the history, so that "back" undoes it. */
  choose(/** @type {string} */ key, /** @type {string} */ value) {
    history.pushState(null, "", withAsked(location.href, key, value));
    return this.restore();
  }

  /** Takes method and face type from the address. */
  async restore() {
    const now = asked();
    if (now === this.shown) return;
    this.shown = now;
    for (const [key, select] of Object.entries(this.selects)) {
      if (select instanceof HTMLSelectElement) select.value = offers(select, askedFor(key)) ? askedFor(key) : "";
    }
    const { said, places } = await this.byMethod();
    if (this.shown !== now) return;
    this.undo();
    this.undo = () => {};
    this.show(said, places);
    const faces = await this.ofFaces();
    if (this.shown !== now) {
      faces.undo();
      return;
    }
    this.undo = faces.undo;
    if (faces.said) this.said.textContent = [said, faces.said].filter(Boolean).join(" ");
  }

  /**
   * What the figures are of by the method asked for, and the places of the page that then are others.
   * @returns {Promise<{said: string, places?: Record<string, string>}>}
   */
  async byMethod() {
    const method = methodAsked();
    if (!method) return { said: this.all };
    if (!offers(this.selects.method, method)) return { said: method === this.only ? this.all : say("method.none_here") };
    try {
      return await this.files.get(method);
    } catch {
      return { said: say("method.not_loaded") };
    }
  }

  /** Shows the face type asked for: what is said of it, "" for any face. */
  async ofFaces() {
    const nothing = { said: "", undo: () => {} };
    const type = faceTypeAsked();
    // Other pages may have these keys in their address for another reason.
    if (isAny(type) || !("faces" in this.root.dataset)) return nothing;
    const { cell, bridge } = this.selects;
    const names = [nameIn(cell, type.cell), nameIn(bridge, type.bridge)];
    const known = (!type.cell || names[0]) && (!type.bridge || names[1]);
    try {
      const { narrowFaces } = await import("./narrow-faces.js");
      const [inCell, withBridge] = names;
      const name = inCell && withBridge ? say("label.face", { cell: inCell, bridge: withBridge }) : inCell || withBridge || "";
      return (known ? await narrowFaces(type, name) : null) ?? { ...nothing, said: say("face_type.none_here") };
    } catch (error) {
      console.warn(error);
      return { ...nothing, said: say("face_type.not_loaded") };
    }
  }

  /**
   * Says what the figures are of, and shows those that are given, or else those of the page itself.
   * @param {string} said
   * @param {Record<string, string>} [places] markup by the name of its place
   */
  show(said, places = {}) {
    this.said.textContent = said;
    for (const { element, name, nodes } of this.places) {
      const markup = places[name];
      element.replaceChildren(...(markup === undefined ? nodes : nodesOf(markup)));
      if (markup === undefined) continue;
      for (const chart of findAll(element, "[data-module=chart]", HTMLElement)) startChart(chart);
    }
    for (const link of findAll(document, "main a[href]", HTMLAnchorElement)) {
      const address = link.getAttribute("href") ?? "";
      if (address.startsWith("#")) continue;
      if (leadsTo(NARROWED, link)) link.href = withMethod(address, methodAsked());
      if ("faces" in this.root.dataset && leadsTo(OF_FACES, link)) link.href = withFaceType(link.getAttribute("href") ?? "", faceTypeAsked());
    }
  }
}

function leadsTo(/** @type {RegExp} */ pages, /** @type {HTMLAnchorElement} */ { href }) {
  const { origin, pathname } = new URL(href);
  return origin === PAGES.origin && pathname.startsWith(PAGES.pathname) && pages.test(pathname.slice(PAGES.pathname.length));
}

/** All that the address asks for, in one text. */
function asked() {
  const { cell, bridge } = faceTypeAsked();
  return [methodAsked(), cell, bridge].join("\n");
}

function askedFor(/** @type {string} */ key) {
  return new URLSearchParams(location.search).get(key) ?? "";
}

function valueOf(/** @type {Element | null} */ select) {
  return select instanceof HTMLSelectElement ? select.value : "";
}

/** The choice of a value, undefined where there is none. */
function optionOf(/** @type {Element | null | undefined} */ select, /** @type {string} */ value) {
  return select instanceof HTMLSelectElement ? [...select.options].find((option) => option.value === value) : undefined;
}

function offers(/** @type {Element | null | undefined} */ select, /** @type {string} */ value) {
  return optionOf(select, value) !== undefined;
}

/** What a chosen value is called within a sentence, "" for one that is not offered. */
function nameIn(/** @type {Element | null | undefined} */ select, /** @type {string} */ value) {
  return (value && optionOf(select, value)?.dataset.name) || "";
}
