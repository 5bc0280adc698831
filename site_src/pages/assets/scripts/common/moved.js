// Leads on from an old address, to the same place on the page of the new one.

/**
 * Where an old address leads. Configurations are places on a page that begin with the mask's id.
 * @param {string} target
 * @param {string} place what stands behind # in the old address
 * @param {string} was
 * @param {string} now
 */
function newAddress(target, place, was, now) {
  const address = new URL(target);
  const known = decodeURIComponent(place.replace(/^#/, ""));
  address.hash = known === was || known.startsWith(`${was}+`) ? now + known.slice(was.length) : known;
  return address.href;
}

/** @param {HTMLElement} element */
export function start(element) {
  const link = element.querySelector("a");
  const { was = "", now = "" } = element.dataset;
  if (link) location.replace(newAddress(link.href, location.hash, was, now));
}
