// Leads on from an old address, to the same place on the page of the new one; and from a page that is told in another
// language, to the place that was asked for there.

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
  if (!link) return;
  const leads = newAddress(link.href, location.hash, was, now);
  // Whoever asks for no place, or comes from there, wants to read this page.
  if (was || (location.hash && document.referrer !== link.href)) location.replace(leads);
  else link.href = leads;
}
