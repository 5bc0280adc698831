// Draws the figure a build wrote, when it comes into view. Colours are the page's own and follow its theme.

const library = new URL("../../vendor/plotly/plotly-basic.min.js", import.meta.url).href;
const CONFIG = { responsive: true, displaylogo: false, displayModeBar: false, scrollZoom: false };
let loading;

function plotly() {
  loading ??= new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = library;
    script.onload = () => resolve(window.Plotly);
    script.onerror = () => reject(new Error("the chart library did not load"));
    document.head.append(script);
  });
  return loading;
}

/** Give a reader of the site's colour names: "var(--sb-line)" → what it is in the present theme. */
export function colours() {
  const probe = document.createElement("span");
  document.body.append(probe);
  const known = new Map();
  const read = (name) => {
    if (!known.has(name)) {
      probe.style.color = name;
      known.set(name, getComputedStyle(probe).color);
    }
    return known.get(name);
  };
  return { read, done: () => probe.remove() };
}

/** Copy a figure with every colour name filled in. */
export function painted(value, read) {
  if (typeof value === "string") return /^var\(--sb-[a-z0-9-]+\)$/.test(value) ? read(value) : value;
  if (Array.isArray(value)) return value.map((item) => painted(item, read));
  if (value && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, painted(item, read)]));
  }
  return value;
}

function themed(figure) {
  const { read, done } = colours();
  const ink = read("var(--sb-ink)");
  const line = read("var(--sb-line)");
  const { data, layout } = painted(figure, read);
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

/** Make the lines of the wearer under the pointer stand out from the others. */
function follow(Plotly, element, figure) {
  const wearers = figure.data.map((trace, index) => index).filter((index) => figure.data[index].mode === "lines+markers");
  const { read, done } = colours();
  const [plain, strong] = [read("var(--sb-thread)"), read("var(--sb-ink)")];
  done();
  let shown = -1;
  const mark = (index) => {
    if (index === shown || !wearers.length) return;
    shown = index;
    Plotly.restyle(
      element,
      { "line.color": wearers.map((i) => (i === index ? strong : plain)), "line.width": wearers.map((i) => (i === index ? 2.5 : 1)) },
      wearers,
    );
  };
  element.on("plotly_hover", (event) => mark(wearers.includes(event.points[0].curveNumber) ? event.points[0].curveNumber : -1));
  element.on("plotly_unhover", () => mark(-1));
}

/** Break the lines of a label between words, to about so many letters. */
export function broken(label, letters) {
  const lines = label.split("<br>").flatMap((line) =>
    line.split(" ").reduce((found, word) => {
      const last = found.at(-1);
      if (last && last.length + word.length < letters) return [...found.slice(0, -1), `${last} ${word}`];
      return [...found, word];
    }, []),
  );
  return lines.join("<br>");
}

/** Make room on a small screen: powers of ten only; smaller row labels, broken where it is a phone's. */
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

/** Start the chart of one element: `data-source` names the figure's file beside the page. */
export async function start(element) {
  try {
    const [Plotly, answer] = await Promise.all([plotly(), fetch(element.dataset.source)]);
    if (!answer.ok) throw new Error(`${element.dataset.source}: ${answer.status}`);
    const figure = await answer.json();
    const canvas = document.createElement("div");
    element.replaceChildren(canvas);
    const draw = async () => {
      const { data, layout } = themed(figure);
      // On paper nothing is resized later: the width is given.
      const paper = document.documentElement.dataset.paper ? { width: element.clientWidth } : {};
      await Plotly.react(canvas, data, { ...narrowed(layout, element.clientWidth), ...paper }, CONFIG);
    };
    await draw();
    follow(Plotly, canvas, figure);
    document.addEventListener("sealbook:theme", draw);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
    element.dataset.drawn = "true";
  } catch (error) {
    element.classList.add("sb-chart--failed");
    console.warn(error);
  }
}
