// Makes a figure of a still picture, to look into, when somebody touches it: only then does the chart library come.
// The figure stands where the picture stood. Colours are the page's own and follow its theme.
import { donningsFigure } from "./donnings.js";
import { find } from "./elements.js";
import { load } from "./files.js";
import { faceTypeAsked, isAny } from "./face-type.js";
import { hasWearers, lightWearers } from "./lit-wearer.js";

const LIBRARY = new URL("../../vendor/plotly/plotly-basic.min.js", import.meta.url).href;
const CONFIG = { displaylogo: false, displayModeBar: false, scrollZoom: false };

/** Name of a line or a text that has no room on a narrow page. */
const MINOR = "sb-chart__minor";

/** How far a wide page lowers words to the marks of their row, in pixels; what has another name goes with the marks. */
const LOWERED = new Map([
  ["sb-chart__beside", 17],
  ["sb-chart__above", 33],
  ["sb-chart__heading", 12],
]);

/** How much of the others is seen beside the wearer who is lit. */
const DIMMED = 0.2;

/** How long a pointer rests on a picture before it counts as touched, in ms: to pass over it is no wish to see more. */
const REST = 150;

/** Where the arrow keys lead, in dots. */
const STEPS = new Map([
  ["ArrowRight", 1],
  ["ArrowDown", 1],
  ["ArrowLeft", -1],
  ["ArrowUp", -1],
]);

/** @typedef {(name: string) => string} Read gives what a colour name of the site is in the present theme */

/** @type {Promise<Plotly.Library> | undefined} */
let loading;

function plotly() {
  loading ??= new Promise((resolve, reject) => {
    const failed = () => reject(new Error("the chart library did not load"));
    const script = document.createElement("script");
    script.src = LIBRARY;
    script.onload = () => (window.Plotly ? resolve(window.Plotly) : failed());
    script.onerror = failed;
    document.head.append(script);
  });
  return loading;
}

/**
 * Give a reader of the site's colour names: "var(--sb-line)" → what it is in the present theme.
 * @returns {{read: Read, done: () => void}}
 */
export function colours() {
  const probe = document.createElement("span");
  document.body.append(probe);
  /** @type {Map<string, string>} */
  const known = new Map();
  const read = (/** @type {string} */ name) => {
    const colour = known.get(name);
    if (colour !== undefined) return colour;
    probe.style.color = name;
    const found = getComputedStyle(probe).color;
    known.set(name, found);
    return found;
  };
  return { read, done: () => probe.remove() };
}

/** Copy a part of a figure with every colour name filled in. @returns {unknown} */
function painted(/** @type {unknown} */ value, /** @type {Read} */ read) {
  if (typeof value === "string") return /^var\(--sb-[a-z0-9-]+\)$/.test(value) ? read(value) : value;
  if (Array.isArray(value)) return value.map((item) => painted(item, read));
  if (value && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, painted(item, read)]));
  }
  return value;
}

/** @returns {Plotly.Figure} */
function themed(/** @type {Plotly.Figure} */ figure) {
  const { read, done } = colours();
  const ink = read("var(--sb-ink)");
  const line = read("var(--sb-line)");
  const { data, layout } = /** @type {Plotly.Figure} */ (painted(figure, read));
  Object.assign(layout, {
    paper_bgcolor: "rgba(0,0,0,0)",
    plot_bgcolor: "rgba(0,0,0,0)",
    font: { family: getComputedStyle(document.body).fontFamily, size: 14, color: ink },
    hoverlabel: { bgcolor: read("var(--sb-raised)"), bordercolor: line, font: { color: ink }, align: "left" },
    xaxis: { fixedrange: true, ...layout.xaxis },
    yaxis: { fixedrange: true, ...layout.yaxis },
  });
  done();
  return { data, layout };
}

/**
 * Make the lines of the wearer under the pointer stand out from the others; gives what does so for a trace.
 * @param {Plotly.Library} library
 * @param {Plotly.Drawn} element
 * @param {Plotly.Figure} figure
 */
function follow(library, element, figure) {
  const wearers = [...figure.data.entries()].filter(([, { mode }]) => mode === "lines+markers").map(([index]) => index);
  const { read, done } = colours();
  const [plain, strong] = [read("var(--sb-thread)"), read("var(--sb-ink)")];
  done();
  let shown = -1;
  const mark = (/** @type {number} */ trace) => {
    const index = wearers.includes(trace) ? trace : -1;
    if (index === shown || !wearers.length) return;
    shown = index;
    const colour = wearers.map((other) => (other === index ? strong : plain));
    const width = wearers.map((other) => (other === index ? 2.5 : 1));
    const opacity = wearers.map((other) => (index < 0 || other === index ? 1 : DIMMED));
    library.restyle(element, { "line.color": colour, "line.width": width, opacity }, wearers);
  };
  element.on("plotly_hover", ({ points: [point] }) => mark(point?.curveNumber ?? -1));
  element.on("plotly_unhover", () => mark(-1));
  return mark;
}

/**
 * Leave out what the still picture leaves out on a narrow page.
 * @param {Plotly.Layout} layout
 * @param {Element} still
 * @returns {Plotly.Layout}
 */
function narrowed(layout, still) {
  const minor = still.querySelector(`.${MINOR}`);
  if (!minor || getComputedStyle(minor).display !== "none") return layout;
  const major = (/** @type {Plotly.Part[]} */ parts) => parts.filter(({ name }) => name !== MINOR);
  return { ...layout, shapes: major(layout.shapes), annotations: major(layout.annotations) };
}

/**
 * Set axis and marks between the words of the rows where the still picture does.
 * @param {Plotly.Layout} layout
 * @param {SVGSVGElement} still
 * @param {HTMLElement} box
 * @returns {Plotly.Layout}
 */
function widened(layout, still, box) {
  const left = parseFloat(getComputedStyle(still).marginLeft);
  if (!left) return layout;
  const at = (/** @type {number} */ share) => (left + share * still.clientWidth) / box.clientWidth;
  const [from = 0, to = 1] = layout.xaxis.domain ?? [];
  return {
    ...layout,
    xaxis: { ...layout.xaxis, domain: [at(from), at(to)] },
    shapes: layout.shapes.map((shape) => ({ ...shape, x0: at(shape.x0 ?? 0), x1: at(shape.x1 ?? 1) })),
    annotations: layout.annotations.map((words) => {
      const lowered = LOWERED.get(words.name ?? "");
      return lowered === undefined ? { ...words, x: at(words.x ?? 0) } : { ...words, yshift: -lowered };
    }),
  };
}

/**
 * Lead the arrow keys from dot to dot, and tell what each says.
 * @param {Plotly.Library} library
 * @param {Plotly.Drawn} canvas
 * @param {Plotly.Figure} figure
 * @param {(words: string, trace: number) => void} tell
 */
function walk(library, canvas, figure, tell) {
  const dots = figure.data.flatMap(({ customdata }, curveNumber) =>
    customdata.map((words, pointNumber) => ({ curveNumber, pointNumber, words: unmarked(words) })),
  );
  const last = dots.length - 1;
  let at = -1;
  canvas.addEventListener("keydown", (event) => {
    const step = STEPS.get(event.key);
    if (step !== undefined) at = Math.min(Math.max(at + step, 0), last);
    else if (event.key === "Home") at = 0;
    else if (event.key === "End") at = last;
    else return;
    const dot = dots[at];
    if (!dot) return;
    event.preventDefault();
    library.Fx.hover(canvas, [{ curveNumber: dot.curveNumber, pointNumber: dot.pointNumber }]);
    tell(dot.words, dot.curveNumber);
  });
  canvas.addEventListener("blur", () => {
    library.Fx.unhover(canvas);
    tell("", -1);
  });
}

/** What a dot says on hovering, without its markup. */
function unmarked(/** @type {string} */ words) {
  const parsed = new DOMParser().parseFromString(words.replaceAll("<br>", ", "), "text/html");
  return parsed.body.textContent ?? "";
}

/**
 * Start the chart of one element: `data-source` names the figure's file beside the page. It holds the still picture, a
 * button, and a place for messages that has the words of each.
 * @param {HTMLElement} element
 */
export function start(element) {
  const box = find(element, ".sb-chart__box", HTMLElement);
  const still = find(box, "svg", SVGSVGElement);
  const button = find(element, "button", HTMLButtonElement);
  const status = find(element, "[role=status]", HTMLElement);
  const tell = (/** @type {string | undefined} */ words) => {
    status.textContent = words ?? "";
  };
  /** @type {Promise<HTMLElement | undefined> | undefined} */
  let asked;
  const open = () => {
    asked ??= draw(element, box, still, tell).catch((error) => {
      // What did not come now may come at the next touch.
      asked = undefined;
      loading = undefined;
      tell(status.dataset.failed);
      console.warn(error);
      return undefined;
    });
    return asked;
  };
  if (hasWearers(still)) lightWearers(box, still, [still.querySelector("title")?.textContent, element.dataset.lightKeys].join(". "));
  else openOnTouch(still, open);
  // Other faces are chosen: the figure is of those before.
  element.addEventListener("sealbook:faces", () => {
    asked = undefined;
    box.querySelector(".sb-chart__live")?.remove();
    delete element.dataset.drawn;
  });
  button.addEventListener("click", async () => {
    tell(status.dataset.loading);
    const canvas = await open();
    if (!canvas) return;
    tell("");
    canvas.focus();
  });
  button.hidden = false;
}

/** A touch of a picture that tells nothing by itself asks for more. */
function openOnTouch(/** @type {SVGSVGElement} */ still, /** @type {() => void} */ open) {
  let resting = 0;
  still.addEventListener("pointerenter", ({ pointerType }) => {
    // A finger that scrolls the page enters the picture too.
    if (pointerType !== "touch") resting = setTimeout(open, REST);
  });
  still.addEventListener("pointerleave", () => clearTimeout(resting));
  still.addEventListener("click", open);
}

/** What a figure of donnings is made from, of the faces that the address asks for. */
async function ofFacesAsked(/** @type {Published.Donnings} */ published) {
  const type = faceTypeAsked();
  if (isAny(type)) return published;
  const { ofFaceType } = await import("./over-faces.js");
  return ofFaceType(published, type);
}

/**
 * Draw the figure above the still picture, which stays for paper; gives the element that is drawn in.
 * @param {HTMLElement} element
 * @param {HTMLElement} box
 * @param {SVGSVGElement} still
 * @param {(words: string) => void} tell
 */
async function draw(element, box, still, tell) {
  const source = element.dataset.source ?? "";
  const [library, answer] = await Promise.all([plotly(), load(source)]);
  const published = /** @type {Plotly.Figure | Published.Donnings} */ (answer);
  const figure = "dots" in published ? donningsFigure(await ofFacesAsked(published)) : published;
  const canvas = document.createElement("div");
  canvas.className = "sb-chart__live";
  canvas.tabIndex = 0;
  canvas.setAttribute("role", "application");
  canvas.setAttribute("aria-label", [still.querySelector("title")?.textContent, element.dataset.keys].join(". "));
  box.append(canvas);
  let width = 0;
  const paint = () => {
    width = box.clientWidth;
    const { data, layout } = themed(figure);
    return library.react(canvas, data, { ...widened(narrowed(layout, still), still, box), width }, CONFIG);
  };
  const drawn = await paint();
  const mark = follow(library, drawn, figure);
  walk(library, drawn, figure, (words, trace) => {
    mark(trace); // the library tells of no hovering that is asked of it
    tell(words);
  });
  document.addEventListener("sealbook:theme", paint);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", paint);
  // It tells of the box as it is, too: drawn anew, the figure would forget the dot that somebody looks at by now.
  new ResizeObserver(() => {
    if (box.clientWidth !== width) paint();
  }).observe(box);
  element.dataset.drawn = "true";
  return canvas;
}
