// Small helpers for pages that a script builds: elements, messages, data files.

const SVG = "http://www.w3.org/2000/svg";

/**
 * Makes an element. Children may be texts, elements, or null to leave out; a text is never read as markup.
 * @param {string} tag
 * @param {Record<string, string | number>} [attributes]
 * @param {...(Node | string | null)} children
 */
export function html(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

/**
 * Makes an element of a drawing.
 * @param {string} tag
 * @param {Record<string, string | number>} [attributes]
 * @param {...(Node | string | null)} children
 */
export function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), attributes, children);
}

/**
 * Shows a message, or hides its place where there is none.
 * @param {HTMLElement} place
 * @param {string} text
 */
export function say(place, text) {
  place.textContent = text;
  place.hidden = text === "";
}

/**
 * Reads a data file beside the page.
 * @param {string} file
 */
export async function load(file) {
  const response = await fetch(file);
  if (!response.ok) throw new Error(`${file}: ${response.status}`);
  return response.json();
}

function filled(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children.filter((child) => child !== null));
  return element;
}
