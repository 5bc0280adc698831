// Small helpers for pages that a script builds: elements, the fields of a form, messages.

const SVG = "http://www.w3.org/2000/svg";

/**
 * @typedef {Record<string, string | number>} Attributes
 * @typedef {Node | string | null} Child a text is never read as markup, null is left out
 */

/**
 * Makes an element.
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Attributes} [attributes]
 * @param {...Child} children
 */
export function html(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

/**
 * Makes an element of a drawing.
 * @template {keyof SVGElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Attributes} [attributes]
 * @param {...Child} children
 */
export function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), attributes, children);
}

/**
 * Finds an element that a script cannot do without.
 * @template {Element} Kind
 * @param {ParentNode} place
 * @param {string} selector
 * @param {new () => Kind} kind
 */
export function find(place, selector, kind) {
  const found = place.querySelector(selector);
  if (!(found instanceof kind)) throw new Error(`The page has no ${selector}.`);
  return found;
}

/**
 * Finds all elements of a kind.
 * @template {Element} Kind
 * @param {ParentNode} place
 * @param {string} selector
 * @param {new () => Kind} kind
 */
export function findAll(place, selector, kind) {
  return [...place.querySelectorAll(selector)].flatMap((found) => (found instanceof kind ? [found] : []));
}

/**
 * A text with each day in it on one line: browsers end lines at its hyphens.
 * @param {string} text
 */
export function withDays(text) {
  const pieces = text.split(/\b(\d{4}-\d\d-\d\d)\b/);
  return pieces.map((piece, place) => (place % 2 ? html("span", { class: "sb-date" }, piece) : piece));
}

/** The nodes of markup that the builder wrote, every text of an entry in it escaped. */
export function nodesOf(/** @type {string} */ markup) {
  return [...new DOMParser().parseFromString(markup, "text/html").body.childNodes];
}

/**
 * Finds a field by its name; null where the form has none of that name.
 * @param {HTMLFormElement} form
 * @param {string} name
 */
export function fieldNamed(form, name) {
  const found = form.elements.namedItem(name);
  return found instanceof HTMLInputElement || found instanceof HTMLSelectElement ? found : null;
}

/**
 * The name of the field that an event comes from, "" for none.
 * @param {Event} event
 */
export function nameOf({ target }) {
  return target instanceof Element ? (target.getAttribute("name") ?? "") : "";
}

/**
 * Shows a message, or hides its place where there is none.
 * @param {HTMLElement} place
 * @param {string} text
 */
export function show(place, text) {
  place.textContent = text;
  place.hidden = text === "";
}

/**
 * @template {Element} Kind
 * @param {Kind} element
 * @param {Attributes} attributes
 * @param {Child[]} children
 */
function filled(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children.filter((child) => child !== null));
  return element;
}
