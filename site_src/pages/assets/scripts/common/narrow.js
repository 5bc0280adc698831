// Narrows a page's figures to one method of measuring, which stands in the address. What the figures are then comes
// ready from the builder; without this script the page shows all methods and says so.
import { start as startChart } from "./chart.js";
import { find, findAll } from "./elements.js";
import { Kept, PAGES, load } from "./files.js";
import { methodAsked, withMethod } from "./method.js";
import { say } from "./say.js";

/** Pages whose figures can be narrowed too: links to them keep the method. */
const NARROWED = /^(explore|compare|(masks|hacks|faces)\/[^/]+)\/$/;

/** @param {HTMLElement} root */
export async function start(root) {
  const narrowing = new Narrowing(root);
  addEventListener("popstate", () => narrowing.restore());
  await narrowing.restore();
  // The row that the address names came just now.
  if (methodAsked() && location.hash) document.getElementById(decodeURIComponent(location.hash.slice(1)))?.scrollIntoView();
}

class Narrowing {
  /** @param {HTMLElement} root holds the choice, where there is one, and a place for what is said */
  constructor(root) {
    this.said = find(root, "[role=status]", HTMLElement);
    this.all = this.said.textContent ?? "";
    this.only = root.dataset.only ?? "";
    this.method = "";
    this.files = new Kept(async (method) => /** @type {Published.Narrowed} */ (await load(`methods/${method}.packed`)));
    this.places = findAll(document, "[data-narrowed]", HTMLElement).map((element) => ({
      element,
      name: element.dataset.narrowed ?? "",
      nodes: [...element.childNodes],
    }));
    this.select = root.querySelector("select");
    this.select?.addEventListener("change", () => this.choose(this.select?.value ?? ""));
    const form = root.querySelector("form");
    if (form) form.hidden = false;
  }

  /** Takes a method from the reader: a step in the history, so that "back" undoes it. */
  choose(/** @type {string} */ method) {
    history.pushState(null, "", withMethod(location.href, method));
    return this.restore();
  }

  /** Takes the method from the address. */
  async restore() {
    const method = methodAsked();
    if (method === this.method) return;
    this.method = method;
    const known = [...(this.select?.options ?? [])].some(({ value }) => value === method);
    if (this.select) this.select.value = known ? method : "";
    if (!method) this.show(this.all);
    else if (!known) this.show(method === this.only ? this.all : say("method.none_here"));
    else {
      try {
        const { said, places } = await this.files.get(method);
        if (this.method === method) this.show(said, places);
      } catch {
        if (this.method === method) this.show(say("method.not_loaded"));
      }
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
      element.replaceChildren(...(markup === undefined ? nodes : parsed(markup)));
      if (markup === undefined) continue;
      for (const chart of findAll(element, "[data-module=chart]", HTMLElement)) startChart(chart);
    }
    for (const link of findAll(document, "main a[href]", HTMLAnchorElement)) {
      const address = link.getAttribute("href") ?? "";
      if (leadsToFigures(link) && !address.startsWith("#")) link.href = withMethod(address, this.method);
    }
  }
}

function leadsToFigures(/** @type {HTMLAnchorElement} */ { href }) {
  const { origin, pathname } = new URL(href);
  return origin === PAGES.origin && pathname.startsWith(PAGES.pathname) && NARROWED.test(pathname.slice(PAGES.pathname.length));
}

/** The nodes of markup that the builder wrote, every text of an entry in it escaped. */
function parsed(/** @type {string} */ markup) {
  return [...new DOMParser().parseFromString(markup, "text/html").body.childNodes];
}
