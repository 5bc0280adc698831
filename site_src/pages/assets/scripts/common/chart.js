// Makes a figure of a still picture, to look into, when somebody touches it: only then does the chart library come.
// The figure stands where the picture stood. Colours are the page's own and follow its theme.

const library = new URL("../../vendor/plotly/plotly-basic.min.js", import.meta.url).href;
const CONFIG = { displaylogo: false, displayModeBar: false, scrollZoom: false };
/** How long a pointer rests on a picture before it counts as touched, in ms: passing over it is no wish to see more. */
const REST = 150;
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

/** Leave out what the still picture leaves out on a narrow page. */
function narrowed(layout, still) {
  const minor = still.querySelector(".sb-chart__minor");
  if (!minor || getComputedStyle(minor).display !== "none") return layout;
  const major = (items) => items.filter((item) => !item.name);
  return { ...layout, shapes: major(layout.shapes), annotations: major(layout.annotations) };
}

/** Lead the arrow keys from dot to dot, and say each. */
function walk(Plotly, canvas, figure, say) {
  const dots = figure.data.flatMap((trace, curveNumber) => trace.x.map((_, pointNumber) => ({ curveNumber, pointNumber })));
  const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
  let at = -1;
  canvas.addEventListener("keydown", (event) => {
    const ends = { Home: 0, End: dots.length - 1 };
    const step = steps[event.key];
    if (step === undefined && !(event.key in ends)) return;
    event.preventDefault();
    at = step === undefined ? ends[event.key] : Math.min(Math.max(at + step, 0), dots.length - 1);
    const { curveNumber, pointNumber } = dots[at];
    Plotly.Fx.hover(canvas, [dots[at]]);
    say(text(figure.data[curveNumber].customdata[pointNumber]));
  });
  canvas.addEventListener("blur", () => {
    Plotly.Fx.unhover(canvas);
    say("");
  });
}

/** The plain text of what a dot says on hovering. */
function text(words) {
  const parsed = new DOMParser().parseFromString(words.replaceAll("<br>", ", "), "text/html");
  return parsed.body.textContent;
}

/**
 * Start the chart of one element, which holds the still picture, a button and a place for messages;
 * `data-source` names the figure's file beside the page.
 * @param {HTMLElement} element
 */
export function start(element) {
  const box = element.querySelector(".sb-chart__box");
  const still = box.querySelector("svg");
  const button = element.querySelector("button");
  const status = element.querySelector("[role=status]");
  const say = (message) => {
    status.textContent = message;
  };
  let asked;
  const open = () => {
    asked ??= draw(element, box, still, say).catch((error) => {
      // A file that did not come now may come at the next touch.
      asked = undefined;
      loading = undefined;
      say("The chart to look into did not load; the picture and the table hold its figures.");
      console.warn(error);
    });
    return asked;
  };
  let resting;
  still.addEventListener("pointerenter", (event) => {
    // A finger that scrolls the page enters the picture too.
    if (event.pointerType !== "touch") resting = setTimeout(open, REST);
  });
  still.addEventListener("pointerleave", () => clearTimeout(resting));
  still.addEventListener("click", open);
  button.addEventListener("click", async () => {
    say("Loading …");
    const canvas = await open();
    if (!canvas) return;
    say("");
    canvas.focus();
  });
  button.hidden = false;
}

/** Draw the figure above the still picture, which stays for paper; gives the element that is drawn in. */
async function draw(element, box, still, say) {
  const [Plotly, answer] = await Promise.all([plotly(), fetch(element.dataset.source)]);
  if (!answer.ok) throw new Error(`${element.dataset.source}: ${answer.status}`);
  const figure = await answer.json();
  const canvas = document.createElement("div");
  canvas.className = "sb-chart__live";
  canvas.tabIndex = 0;
  canvas.setAttribute("role", "application");
  canvas.setAttribute("aria-label", `${still.querySelector("title").textContent}. Arrow keys go from dot to dot.`);
  box.append(canvas);
  const paint = async () => {
    const { data, layout } = themed(figure);
    await Plotly.react(canvas, data, { ...narrowed(layout, still), width: box.clientWidth }, CONFIG);
  };
  await paint();
  follow(Plotly, canvas, figure);
  walk(Plotly, canvas, figure, say);
  document.addEventListener("sealbook:theme", paint);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", paint);
  new ResizeObserver(paint).observe(box);
  element.dataset.drawn = "true";
  return canvas;
}
