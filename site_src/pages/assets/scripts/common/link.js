// A button that copies the page's address, which holds all that was chosen.
import { LINK_COPIED, linkWords } from "./copy-words.js";
import { say } from "./elements.js";

/**
 * Copies the address, or shows it where the browser does not allow that.
 * @param {HTMLElement} note
 */
export async function copyLink(note) {
  try {
    await navigator.clipboard.writeText(location.href);
    say(note, LINK_COPIED);
  } catch {
    say(note, linkWords(location.href));
  }
}
