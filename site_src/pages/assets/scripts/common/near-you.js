// "People near you": what came of a page's configurations on wearers whose face is like the one kept on this device.
// Every reader fetches the same file, and only who keeps a face fetches any.
import { html } from "./elements.js";
import { load, atRoot } from "./files.js";
import { keptFace } from "./kept-face.js";
import { near, placeOf, readPeople, triedBy } from "./people.js";
import { count, say } from "./say.js";

const MOST_ROWS = 60;

/** @param {HTMLElement} root with `data-faces`, where the face page is; `data-mask` or `data-part` say which are asked for */
export async function start(root) {
  const kept = keptFace();
  const faces = root.dataset.faces;
  if (!kept || faces === undefined || !(kept.cell || (kept.length && kept.width))) return;
  const [published, panel] = await Promise.all([load(`${faces}people.json`), load(atRoot(`${faces}panel.json`))]);
  const { cells } = /** @type {Published.Panel} */ (panel);
  const place = placeOf({ length: Number(kept.length), width: Number(kept.width), cell: kept.cell }, cells);
  if (!place) return;
  const people = readPeople(/** @type {Published.People} */ (published));
  const around = near(people.wearers, place, kept.bridge);
  const rows = people.configurations
    .map((one, number) => ({ ...one, ...triedBy(around, number) }))
    .filter(({ id, known }) => known > 0 && isAskedFor(id, root.dataset))
    .sort((a, b) => b.passed / b.known - a.passed / a.known || b.known - a.known || (a.id < b.id ? -1 : 1))
    .slice(0, MOST_ROWS);
  const change = html("a", { href: faces }, say("people.change"));
  const list = rows.map(({ label, passed, known }) => html("li", {}, say("people.on_them", { mask: label, passed, wearers: known })));
  root.replaceChildren(
    html(
      "details",
      { class: "sb-more" },
      html("summary", {}, say("people.near_you", { wearers: count("wearer", around.length) })),
      rows.length ? html("ul", {}, ...list) : html("p", {}, say("people.none_near")),
      html("p", { class: "sb-muted" }, say("people.few"), " ", change),
    ),
  );
  root.hidden = false;
}

function isAskedFor(/** @type {string} */ id, /** @type {DOMStringMap} */ { mask, part }) {
  const [of, ...parts] = id.split("+");
  return (mask === undefined || of === mask) && (part === undefined || parts.includes(part));
}
