// Buttons that copy a text of the page.
import { find, findAll } from "./elements.js";
import { say } from "./say.js";

/** @param {HTMLElement} element */
export function start(element) {
  const status = find(element, "[role=status]", HTMLElement);
  for (const button of findAll(element, "[data-copies]", HTMLButtonElement)) {
    button.hidden = false;
    button.addEventListener("click", async () => {
      const source = document.getElementById(button.dataset.copies ?? "");
      status.textContent = "";
      if (source) status.textContent = await copied(source);
    });
  }
}

/** Copies a text; without leave for that it selects it, so that the reader's own keys copy it. */
async function copied(/** @type {HTMLElement} */ source) {
  try {
    await navigator.clipboard.writeText(source.textContent);
    return say("copy.text");
  } catch {
    getSelection()?.selectAllChildren(source);
    return say("copy.text_refused");
  }
}
