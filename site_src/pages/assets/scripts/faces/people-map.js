// The wearers of the database by length and width of face: who passed with a mask, and the reader among them.
import { chosenBy, Combobox } from "../common/combobox.js";
import { find, svg } from "../common/elements.js";
import { near, triedBy } from "../common/people.js";
import { say } from "../common/say.js";
import { tenth } from "../common/scale.js";

/**
 * @typedef {import("../common/people.js").People} People
 * @typedef {import("../common/people.js").Place} Place
 * @typedef {{x: number, y: number, name: "passed" | "failed" | "unsure" | "untried"}} Dot
 */

const [LEFT, TOP, WIDTH, HEIGHT] = [44, 10, 480, 420];
/** What the picture shows of lengths and widths at least, mm. */
const ROOM = { length: [97, 140], width: [119, 160] };
const DOT = 5;
/** How far apart stand those of one place, as many as there are. */
const APART = 9;

export class PeopleMap {
  /**
   * @param {HTMLElement} root
   * @param {{people: People, cells: Published.Cell[]}} use
   */
  constructor(root, { people, cells }) {
    this.root = root;
    this.people = people;
    this.cells = cells;
    this.said = find(root, ".sb-people__said", HTMLElement);
    this.place = find(root, ".sb-people__picture", HTMLElement);
    /** What the reader chose to see, "" for what comes first in the list. */
    this.chosen = "";
    this.offered = "";
    /** @type {Place | null} */
    this.you = null;
    new Combobox(find(root, "input", HTMLInputElement), {
      search: (query) => chosenBy(this.choices(), query),
      choose: (id) => {
        this.chosen = id;
        this.draw();
      },
    });
  }

  choices() {
    return [...this.people.configurations]
      .sort((a, b) => b.wearers - a.wearers || (a.id < b.id ? -1 : 1))
      .map(({ id, label }) => ({ value: id, label, hint: "" }));
  }

  /**
   * Shows the wearers, and who passed with the mask that the reader chose or else the one offered.
   * @param {Place | null} you
   * @param {string} offered
   */
  show(you, offered) {
    this.you = you;
    this.offered = offered;
    this.root.hidden = !this.people.configurations.length;
    this.draw();
  }

  hide() {
    this.root.hidden = true;
  }

  draw() {
    const number = this.people.number.get(this.chosen || this.offered);
    const mask = number === undefined ? undefined : this.people.configurations[number];
    if (number === undefined || !mask) {
      this.said.textContent = "";
      this.place.replaceChildren();
      return;
    }
    const all = triedBy(this.people.wearers, number);
    const around = this.you ? triedBy(near(this.people.wearers, this.you), number) : null;
    const said = say("people.passed", { mask: mask.label, passed: all.passed, wearers: all.known });
    this.said.textContent = around ? `${said} ${nearWords(around)}` : said;
    this.place.replaceChildren(picture(this.people, { number, you: this.you, cells: this.cells, title: said }));
  }
}

function nearWords(/** @type {import("../common/people.js").Tried} */ { known, passed }) {
  return known ? say("people.near", { passed, wearers: known }) : say("people.none_near");
}

/**
 * @param {People} people
 * @param {{number: number, you: Place | null, cells: Published.Cell[], title: string}} what
 */
function picture(people, { number, you, cells, title }) {
  const places = [...people.wearers.flatMap(({ place }) => place ?? []), ...(you ? [you] : [])];
  const [x, y] = [axis("width", places, LEFT, WIDTH - 8), axis("length", places, HEIGHT - 40, TOP)];
  const dots = dotsOf(people, number, { x, y });
  return svg(
    "svg",
    { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img", "aria-label": title },
    ...cells.map((cell) =>
      svg("rect", {
        x: x(cell.width_low),
        y: y(cell.length_high),
        width: tenth(x(cell.width_high) - x(cell.width_low)),
        height: tenth(y(cell.length_low) - y(cell.length_high)),
        class: "sb-people__cell",
      }),
    ),
    ...axes(x, y),
    ...["untried", "unsure", "failed", "passed"].flatMap((name) =>
      dots.filter((dot) => dot.name === name).map(mark),
    ),
    ...(you ? [youMark(x(you.width), y(you.length))] : []),
  );
}

/** Wearers at one place stand side by side. */
function dotsOf(
  /** @type {People} */ { wearers },
  /** @type {number} */ number,
  /** @type {{x: (mm: number) => number, y: (mm: number) => number}} */ { x, y },
) {
  const names = /** @type {const} */ ({ 1: "passed", 0: "failed", "?": "unsure" });
  /** @type {Map<string, Dot[]>} */
  const byPlace = new Map();
  for (const { place, tried } of wearers) {
    if (!place) continue;
    const of = tried.get(number);
    const dot = { x: x(place.width), y: y(place.length), name: of ? names[of] : /** @type {const} */ ("untried") };
    const key = `${dot.x} ${dot.y}`;
    byPlace.set(key, [...(byPlace.get(key) ?? []), dot]);
  }
  return [...byPlace.values()].flatMap((together) => {
    const across = Math.ceil(Math.sqrt(together.length));
    const middle = (across - 1) / 2;
    return together.map((dot, k) => ({
      ...dot,
      x: tenth(dot.x + ((k % across) - middle) * APART),
      y: tenth(dot.y + (Math.floor(k / across) - middle) * APART),
    }));
  });
}

/** Shapes differ too, so that nobody needs the colours. */
function mark(/** @type {Dot} */ { x, y, name }) {
  const named = { class: `sb-people__${name}` };
  if (name === "failed") {
    const r = DOT - 0.5;
    return svg("path", { d: `M${x - r} ${y - r}L${x + r} ${y + r}M${x - r} ${y + r}L${x + r} ${y - r}`, ...named });
  }
  return svg("circle", { cx: x, cy: y, r: name === "untried" ? 2.5 : DOT, ...named });
}

function youMark(/** @type {number} */ x, /** @type {number} */ y) {
  // Towards the middle, where there is room.
  const left = x > WIDTH - 60;
  return svg(
    "g",
    { class: "sb-people__you" },
    svg("circle", { cx: x, cy: y, r: DOT + 5 }),
    svg("text", { x: left ? x - 14 : x + 14, y: y + 5, "text-anchor": left ? "end" : "start" }, say("people.you")),
  );
}

/** Where a measure lies between two ends of the picture; who is beyond the panel widens it. */
function axis(
  /** @type {"length" | "width"} */ measure,
  /** @type {Place[]} */ places,
  /** @type {number} */ from,
  /** @type {number} */ to,
) {
  const values = [...ROOM[measure], ...places.flatMap((place) => [place[measure] - 2, place[measure] + 2])];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return (/** @type {number} */ mm) => tenth(from + ((mm - low) / (high - low)) * (to - from));
}

function axes(/** @type {(mm: number) => number} */ x, /** @type {(mm: number) => number} */ y) {
  const label = { class: "sb-people__tick", "aria-hidden": "true" };
  return [
    ...[120, 130, 140, 150].map((mm) => svg("text", { x: x(mm), y: HEIGHT - 22, "text-anchor": "middle", ...label }, String(mm))),
    ...[100, 110, 120, 130].map((mm) => svg("text", { x: LEFT - 6, y: y(mm) + 4, "text-anchor": "end", ...label }, String(mm))),
    svg("text", { x: (LEFT + WIDTH) / 2, y: HEIGHT - 5, "text-anchor": "middle", ...label }, say("people.width")),
    svg(
      "text",
      { x: 10, y: HEIGHT / 2 - 20, transform: `rotate(-90 10 ${HEIGHT / 2 - 20})`, "text-anchor": "middle", ...label },
      say("people.length"),
    ),
  ];
}
