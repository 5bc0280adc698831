// A button that copies the page's address, which holds all that was chosen.
import { show } from "./elements.js";
import { say } from "./say.js";

/**
 * Copies the address, or shows it where the browser does not allow that.
 * @param {HTMLElement} note
 */
export async function copyLink(note) {
  try {
    await navigator.clipboard.writeText(location.href);
    show(note, say("copy.link"));
  } catch {
    show(note, say("copy.link_refused", { link: location.href }));
  }
}
