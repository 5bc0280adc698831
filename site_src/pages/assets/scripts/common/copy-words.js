// What is said of a text that was copied, or could not be.

export const COPIED = "Copied.";
export const SELECTED = "Selected: copy it with your keyboard or menu.";
export const LINK_COPIED = "Link copied.";

/**
 * Gives the link itself, where the browser does not copy it.
 * @param {string} address
 */
export function linkWords(address) {
  return `The browser does not let this page copy. The link is ${address}`;
}
