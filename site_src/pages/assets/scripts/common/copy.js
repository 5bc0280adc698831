// Buttons that copy a text of the page.

/** @param {HTMLElement} element */
export function start(element) {
  const status = element.querySelector("[role=status]");
  for (const button of element.querySelectorAll("[data-copies]")) {
    button.hidden = false;
    button.addEventListener("click", async () => {
      const source = document.getElementById(button.dataset.copies);
      status.textContent = "";
      status.textContent = await copied(source);
    });
  }
}

/** Copies a text; without leave for that it selects it, so that the reader's own keys copy it. */
async function copied(source) {
  try {
    await navigator.clipboard.writeText(source.textContent);
    return "Copied.";
  } catch {
    getSelection().selectAllChildren(source);
    return "Selected: copy it with your keyboard or menu.";
  }
}
