// Shows a mask's page over the wearers of one face type alone: its lead, its donnings and its table of figures.
import { find, findAll, html, svg } from "./elements.js";
import { figure, fit, intervalLabel, reachLabel } from "./figures.js";
import { load } from "./files.js";
import { OUT } from "./lit-wearer.js";
import { overFaces, rowWords } from "./over-faces.js";
import { count, say } from "./say.js";
import { strip } from "./strip.js";
import { LEVELS } from "../words/levels.js";

/** @typedef {import("./face-type.js").FaceType} FaceType */
/** @typedef {import("./over-faces.js").OverFaces} OverFaces */
/** @typedef {() => void} Undo */

/**
 * Narrows what the page shows now. Gives what is to be said of it and what takes it back; null where nobody with such a
 * face tried it.
 * @param {FaceType} type
 * @param {string} name of the face type, in words
 * @returns {Promise<{said: string, undo: Undo} | null>}
 */
export async function narrowFaces(type, name) {
  const chart = document.querySelector("[data-narrowed=donnings] .sb-chart");
  if (!(chart instanceof HTMLElement)) return null;
  const published = /** @type {Published.Donnings} */ (await load(chart.dataset.source ?? ""));
  const over = overFaces(published, type);
  if (!over.wearers) return null;
  const said = say("face_type.only", { face: name, tests: count("test", over.dots.length), wearers: count("wearer", over.wearers) });
  const undone = [lead(over), table(published, over), picture(chart, published, over, said), whole()];
  chart.dispatchEvent(new CustomEvent("sealbook:faces"));
  const undo = () => {
    for (const one of undone) one();
    chart.dispatchEvent(new CustomEvent("sealbook:faces"));
  };
  return { said, undo };
}

/** @returns {Undo} */
function lead(/** @type {OverFaces} */ { figures, wearers }) {
  const place = find(document, "[data-narrowed=lead]", HTMLElement);
  const before = [...place.childNodes];
  const [first] = figures; // as sold comes first where it was tried
  const few = wearers === 1 ? say("small_n.one") : wearers < LEVELS.few_faces ? say("small_n.few", { wearers }) : "";
  const told = first ? say("face_type.sold", { median: fit(first.median_fit_factor, first.median_at_least), wearers: count("wearer", first.wearers), reached: reachLabel(first) }) : say("face_type.not_sold");
  place.replaceChildren([told, few].filter(Boolean).join(" "));
  return () => place.replaceChildren(...before);
}

/**
 * The same cells as the builder's (site/figure_cells.py), rows that nobody with such a face tried aside.
 * @param {Published.Donnings} published
 * @param {OverFaces} over
 * @returns {Undo}
 */
function table({ ids, strip: geometry }, { figures }) {
  const rows = findAll(document, "[data-narrowed=figures] [aria-labelledby=configurations] tbody tr", HTMLTableRowElement);
  const undone = rows.map((row) => {
    const own = figures[ids.indexOf(row.id)];
    if (!own) {
      row.hidden = true;
      return () => void (row.hidden = false);
    }
    const cells = [...row.cells].slice(1);
    const now = cellsOf(own, geometry);
    for (const [place, cell] of cells.entries()) cell.replaceWith(now[place] ?? "");
    return () => {
      for (const [place, cell] of now.entries()) cell.replaceWith(cells[place] ?? "");
    };
  });
  return () => {
    for (const one of undone) one();
  };
}

function cellsOf(/** @type {Published.Figures} */ own, /** @type {Published.Strip} */ geometry) {
  const cell = (/** @type {string} */ css, /** @type {(Node | string | null)[]} */ ...children) => html("td", { class: css }, ...children);
  const high = fit(own.highest_fit_factor, own.highest_at_least);
  const interval = own.share_wearers ? html("span", { class: "sb-muted" }, `(${intervalLabel(own)})`) : null;
  return [
    cell("sb-num", html("strong", {}, fit(own.median_fit_factor, own.median_at_least))),
    cell("sb-picture", strip(own, geometry)),
    cell("sb-num", String(own.wearers)),
    cell("sb-num", say("summary.range", { low: figure(own.lowest_fit_factor), high })),
    cell("sb-num", String(own.tests)),
    cell("sb-num", reachLabel(own), ...(interval ? [" ", interval] : [])),
  ];
}

/**
 * The still picture: other wearers out, medians and what stands below each name those of these faces.
 * @param {HTMLElement} chart
 * @param {Published.Donnings} published
 * @param {OverFaces} over
 * @param {string} said
 * @returns {Undo}
 */
function picture(chart, { layout, size, strip: { top }, sold }, { dots, figures }, said) {
  const still = find(chart, ".sb-chart__box > svg", SVGSVGElement);
  const wearers = find(still, ".sb-donnings__wearers", SVGGElement);
  const [medians, texts] = ["median", "figures"].map((name) => findAll(still, `.sb-donnings__${name}`, SVGElement));
  const about = find(still, "desc", SVGDescElement);
  const before = { about: about.textContent, places: medians?.map((line) => line.getAttribute("x1") ?? ""), texts: texts?.map((text) => text.textContent) };
  const [from, to] = layout.xaxis.domain ?? [0, 1];
  const place = (/** @type {number} */ value) => `${100 * (from + (Math.log(Math.max(value, 1)) / Math.log(top)) * (to - from))}%`;
  const shown = new Set(dots.map(({ wearer }) => wearer));
  for (const one of findAll(wearers, "[data-wearer]", SVGGElement)) one.classList.toggle(OUT, !shown.has(one.dataset.wearer ?? ""));
  about.textContent = said;
  const added = svg("g", { stroke: "var(--sb-paper)" });
  for (const [row, own] of figures.entries()) {
    const line = medians?.[row];
    const text = texts?.[row];
    if (!line || !text) continue;
    text.textContent = rowWords(own);
    line.classList.toggle(OUT, !own);
    for (const end of ["x1", "x2"]) line.setAttribute(end, place(own?.median_fit_factor ?? 1));
    const crowd = line.previousElementSibling;
    if (!crowd?.classList.contains("sb-donnings__crowd")) continue;
    crowd.classList.add(OUT);
    const fill = sold[row] ? "var(--sb-sold)" : "var(--sb-changed)";
    const marks = dots.filter((dot) => dot.row === row);
    added.append(...marks.map((dot) => svg("circle", { cx: place(dot.fit_factor), cy: dot.height, r: size / 2, fill })));
  }
  wearers.before(added);
  return () => {
    added.remove();
    about.textContent = before.about;
    for (const one of findAll(still, `.${OUT}`, SVGElement)) one.classList.remove(OUT);
    for (const [row, line] of (medians ?? []).entries()) {
      for (const end of ["x1", "x2"]) line.setAttribute(end, before.places?.[row] ?? "");
    }
    for (const [row, text] of (texts ?? []).entries()) text.textContent = before.texts?.[row] ?? "";
  };
}

/** Says of what is over all faces that it is. @returns {Undo} */
function whole() {
  const notes = findAll(document, ".sb-narrow__whole", HTMLElement);
  const show = (/** @type {boolean} */ shown) => {
    for (const note of notes) note.hidden = !shown;
  };
  show(true);
  return () => show(false);
}
