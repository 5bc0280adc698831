// Runs before the page is drawn, so that a chosen theme never flashes in the other one.
(() => {
  const root = document.documentElement;
  root.classList.replace("no-js", "js");
  try {
    const chosen = localStorage.getItem("sealbook-theme");
    if (chosen === "light" || chosen === "dark") root.dataset.theme = chosen;
  } catch {
    // Storage may be closed to the page; the system's theme is used then.
  }
})();
