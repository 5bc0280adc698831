// A button that copies an address which holds all that was chosen.
import { show } from "./elements.js";
import { say } from "./say.js";

/**
 * Copies an address, or shows it where the browser does not allow that.
 * @param {HTMLElement} note
 * @param {string} [address] the page's own where none is given
 */
export async function copyLink(note, address = location.href) {
  try {
    await navigator.clipboard.writeText(address);
    show(note, say("copy.link"));
  } catch {
    show(note, say("copy.link_refused", { link: address }));
  }
}
