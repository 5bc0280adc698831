// The one script every page loads: the theme button, the way to other languages, and a module for each element that asks for one.
/** @type {Map<string | undefined, () => Promise<{start: (element: HTMLElement) => void | Promise<void>}>>} */
const MODULES = new Map([
  ["bench", () => import("../bench/bench.js")],
  ["chart", () => import("./chart.js")],
  ["compare", () => import("../compare/compare.js")],
  ["contribute", () => import("../contribute/contribute.js")],
  ["copy", () => import("./copy.js")],
  ["explorer", () => import("../explorer/explorer.js")],
  ["faces", () => import("../faces/faces.js")],
  ["lost-pair", () => import("./lost-pair.js")],
  ["moved", () => import("./moved.js")],
  ["narrow", () => import("./narrow.js")],
  ["near-you", () => import("./near-you.js")],
  ["site-search", () => import("./site-search.js")],
  ["sources", () => import("./sources.js")],
  ["test-lists", () => import("./test-lists.js")],
  ["yardstick", () => import("../yardstick/yardstick.js")],
]);

/** What nobody needs before they turn to it: most pages want no other script than this one, and none of its words. */
const AWAITED = new Set(["site-search"]);

const root = document.documentElement;
const dark = matchMedia("(prefers-color-scheme: dark)");

function isDark() {
  return root.dataset.theme ? root.dataset.theme === "dark" : dark.matches;
}

function announceTheme(/** @type {HTMLElement} */ button) {
  const { light = "", dark: darker = "", toLight = "", toDark = "" } = button.dataset;
  button.textContent = isDark() ? light : darker;
  button.setAttribute("aria-label", isDark() ? toLight : toDark);
  document.dispatchEvent(new CustomEvent("sealbook:theme"));
}

for (const button of document.querySelectorAll("button.sb-theme")) {
  if (!(button instanceof HTMLButtonElement)) continue;
  button.hidden = false;
  announceTheme(button);
  button.addEventListener("click", () => {
    root.dataset.theme = isDark() ? "light" : "dark";
    try {
      localStorage.setItem("sealbook-theme", root.dataset.theme);
    } catch {
      // Without storage the choice holds for this page.
    }
    announceTheme(button);
  });
  dark.addEventListener("change", () => announceTheme(button));
}

for (const link of document.querySelectorAll("a.sb-language")) {
  if (!(link instanceof HTMLAnchorElement)) continue;
  const twin = link.href;
  link.addEventListener("click", () => {
    // The address may have changed since the page came.
    link.href = twin + location.search + location.hash;
    try {
      localStorage.setItem("sealbook-language", link.hreflang);
    } catch {
      // Without storage the choice holds for the pages it leads to.
    }
  });
}

// Paper is light and narrow: pictures are drawn for it, and then for the screen again.
/** @type {string | undefined} */
let onScreen;
addEventListener("beforeprint", () => {
  onScreen = root.dataset.theme;
  root.dataset.theme = "light";
  root.dataset.paper = "true";
  document.dispatchEvent(new CustomEvent("sealbook:theme"));
});
addEventListener("afterprint", () => {
  if (onScreen) root.dataset.theme = onScreen;
  else delete root.dataset.theme;
  delete root.dataset.paper;
  document.dispatchEvent(new CustomEvent("sealbook:theme"));
});

/** Open what hides the place that the address names, so that a link to one test shows it. */
function reveal() {
  const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const fold = target?.closest("details:not([open])");
  if (!(fold instanceof HTMLDetailsElement)) return;
  fold.open = true;
  target?.scrollIntoView();
}
reveal();
window.addEventListener("hashchange", reveal);

async function start(/** @type {HTMLElement} */ element) {
  try {
    const module = await MODULES.get(element.dataset.module)?.();
    await module?.start(element);
  } finally {
    // Until then styles keep out of sight what would only move.
    element.dataset.started = "true";
  }
}

function startOnceTouched(/** @type {HTMLElement} */ element) {
  element.dataset.started = "true";
  const touched = new AbortController();
  const wake = () => {
    touched.abort();
    start(element);
  };
  for (const sign of ["focusin", "pointerover"]) element.addEventListener(sign, wake, { signal: touched.signal });
  if (element.contains(document.activeElement)) wake();
}

for (const element of document.querySelectorAll("[data-module]")) {
  if (!(element instanceof HTMLElement)) continue;
  if (AWAITED.has(element.dataset.module ?? "")) startOnceTouched(element);
  else start(element);
}
