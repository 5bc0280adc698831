// Runs before the page is drawn. Who comes from elsewhere to a page in the site's first language is led to its twin in
// the language that was last chosen, or else that the browser prefers. An address in any other language is kept.
(() => {
  const script = document.currentScript;
  if (!(script instanceof HTMLScriptElement)) return;
  /** Where the page's twins are, by their language. */
  const twins = new Map(Object.entries(script.dataset));
  if (!twins.size || document.referrer.startsWith(`${location.origin}/`)) return;
  /** @type {string | null} */
  let chosen = null;
  try {
    chosen = localStorage.getItem("sealbook-language");
  } catch {
    // Storage may be closed to the page; the browser's own setting is used then.
  }
  const own = document.documentElement.lang;
  const asked = chosen ? [chosen] : navigator.languages.map((language) => language.split("-")[0] ?? "");
  const wanted = asked.find((language) => language === own || twins.has(language));
  const twin = wanted && wanted !== own ? twins.get(wanted) : undefined;
  if (twin) location.replace(new URL(twin + location.search + location.hash, location.href));
})();
