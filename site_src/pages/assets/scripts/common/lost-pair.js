// Where a comparison has no page of its own any more, since the most tried mask or a name is another: compare the two.

const PAIR = /\/compare\/([^/]+)\/([^/]+)\/?$/;

/** @param {HTMLElement} line with a link to the page that compares anything */
export function start(line) {
  const names = PAIR.exec(location.pathname)?.slice(1).map((name) => decodeURIComponent(name).replaceAll("--", "+"));
  const link = line.querySelector("a");
  if (!names || !link) return;
  link.search = names.map((name) => `c=${encodeURIComponent(name)}`).join("&");
  line.hidden = false;
}
