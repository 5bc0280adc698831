// Draws the figure a build wrote, when it comes into view. Colours are the page's own and follow its theme.
// It imports nothing, so that the chart library is on its way as soon as can be.

const LIBRARY = new URL("../../vendor/plotly/plotly-basic.min.js", import.meta.url).href;
const CONFIG = { responsive: true, displaylogo: false, displayModeBar: false, scrollZoom: false };

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
  const axis = { gridcolor: line, linecolor: line, zeroline: false, tickfont: { color: ink } };
  Object.assign(layout, {
    paper_bgcolor: "rgba(0,0,0,0)",
    plot_bgcolor: "rgba(0,0,0,0)",
    font: { family: getComputedStyle(document.body).fontFamily, size: 14, color: ink },
    hoverlabel: { bgcolor: read("var(--sb-raised)"), bordercolor: line, font: { color: ink }, align: "left" },
    xaxis: { ...axis, fixedrange: true, ...layout.xaxis },
    yaxis: { ...axis, fixedrange: true, ...layout.yaxis },
  });
  done();
  return { data, layout };
}

/**
 * Make the lines of the wearer under the pointer stand out from the others.
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
  const mark = (/** @type {number} */ index) => {
    if (index === shown || !wearers.length) return;
    shown = index;
    const colour = wearers.map((other) => (other === index ? strong : plain));
    const width = wearers.map((other) => (other === index ? 2.5 : 1));
    library.restyle(element, { "line.color": colour, "line.width": width }, wearers);
  };
  element.on("plotly_hover", ({ points: [point] }) => {
    mark(point && wearers.includes(point.curveNumber) ? point.curveNumber : -1);
  });
  element.on("plotly_unhover", () => mark(-1));
}

/**
 * Break the lines of a label between words, to about so many letters.
 * @param {string} label
 * @param {number} letters
 */
export function broken(label, letters) {
  const lines = label.split("<br>").flatMap((line) =>
    line.split(" ").reduce((/** @type {string[]} */ found, word) => {
      const last = found.at(-1);
      if (last && last.length + word.length < letters) return [...found.slice(0, -1), `${last} ${word}`];
      return [...found, word];
    }, []),
  );
  return lines.join("<br>");
}

/**
 * Make room on a small screen: powers of ten only; smaller row labels, broken where it is a phone's.
 * @param {Plotly.Layout} layout
 * @param {number} width
 * @returns {Plotly.Layout}
 */
function narrowed(layout, width) {
  if (width > 680) return layout;
  const powers = layout.xaxis.tickvals?.filter((tick) => Number.isInteger(Math.log10(tick)));
  const xaxis = { ...layout.xaxis, tickvals: powers, tickangle: 0 };
  const yaxis = { ...layout.yaxis, tickfont: { ...layout.yaxis.tickfont, size: 11 } };
  if (width > 480 || !yaxis.ticktext) return { ...layout, xaxis, yaxis };
  yaxis.ticktext = yaxis.ticktext.map((label) => broken(label, 18));
  const lines = yaxis.ticktext.map((label) => label.split("<br>").length);
  const height = Math.max(layout.height, 90 + lines.length * (Math.max(...lines) * 14 + 6));
  xaxis.title = { ...xaxis.title, font: { size: 12 } };
  return { ...layout, xaxis, yaxis, height };
}

/**
 * Start the chart of one element: `data-source` names the figure's file beside the page.
 * @param {HTMLElement} element
 */
export async function start(element) {
  const source = element.dataset.source ?? "";
  try {
    const [library, answer] = await Promise.all([plotly(), fetch(source)]);
    if (!answer.ok) throw new Error(`${source}: ${answer.status}`);
    /** @type {Plotly.Figure} */
    const figure = await answer.json();
    const canvas = document.createElement("div");
    element.replaceChildren(canvas);
    const draw = () => {
      const { data, layout } = themed(figure);
      // On paper nothing is resized later: the width is given.
      const paper = document.documentElement.dataset.paper ? { width: element.clientWidth } : {};
      return library.react(canvas, data, { ...narrowed(layout, element.clientWidth), ...paper }, CONFIG);
    };
    follow(library, await draw(), figure);
    document.addEventListener("sealbook:theme", draw);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
    element.dataset.drawn = "true";
  } catch (error) {
    element.classList.add("sb-chart--failed");
    console.warn(error);
  }
}
