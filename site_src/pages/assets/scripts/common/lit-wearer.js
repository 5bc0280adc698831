// One wearer of a still picture of donnings lit, the others dimmed: by pointer, touch or arrow keys. Without this script a
// pointer lights one too.
import { find, findAll, html } from "./elements.js";

/** How far from a dot a pointer may be, in pixels: half of a target that a finger hits. */
const REACH = 24;
/** From a dot to what is said of it, in pixels. */
const APART = 14;

/** Class of the picture's group of wearers, of the lit one, and of those that are not shown. */
const WEARERS = ".sb-donnings__wearers";
const LIT = "sb-donnings--lit";
export const OUT = "sb-donnings--out";

/** @typedef {{wearer: Wearer, x: number, y: number}} Place a dot: `x` as a share of the width, `y` in pixels */
/** @typedef {{element: Element, said: string, places: {x: number, y: number}[]}} Wearer */

/** Whether a picture has wearers to light. */
export function hasWearers(/** @type {SVGSVGElement} */ still) {
  return still.querySelector(`${WEARERS} > [data-wearer]`) !== null;
}

/**
 * @param {HTMLElement} box holds the picture, and is what the keyboard reaches
 * @param {SVGSVGElement} still
 * @param {string} label what the picture shows and which keys lead through it
 */
export function lightWearers(box, still, label) {
  const wearers = findAll(still, `${WEARERS} > [data-wearer]`, SVGGElement).map(wearerOf);
  const words = html("p", { class: "sb-donnings__said", "aria-hidden": "true" });
  const told = html("span", { class: "sb-hidden", role: "status" });
  words.hidden = true;
  box.after(told);
  box.append(words);
  box.tabIndex = 0;
  box.setAttribute("role", "application");
  box.setAttribute("aria-label", label);
  /** @type {Wearer | undefined} the one that stays lit when the pointer leaves */
  let kept;
  /** @type {(wearer: Wearer | undefined, at?: {x: number, y: number}) => void} */
  const light = (wearer, at) => {
    for (const one of wearers) one.element.classList.toggle(LIT, one === wearer);
    const place = at ?? wearer?.places[0];
    words.hidden = !wearer || !place;
    words.textContent = wearer?.said ?? "";
    if (!place) return;
    words.style.top = `${place.y + APART}px`;
    words.style.left = `${Math.max(0, Math.min(place.x * box.clientWidth, box.clientWidth - words.offsetWidth))}px`;
  };
  /** @type {(wearer: Wearer | undefined, at?: {x: number, y: number}) => void} */
  const keep = (wearer, at) => {
    kept = wearer;
    told.textContent = wearer?.said ?? "";
    light(wearer, at);
  };
  const shown = () => wearers.filter(({ element }) => !element.classList.contains(OUT));
  still.addEventListener("pointermove", (event) => {
    if (event.pointerType === "touch") return;
    const near = nearest(shown(), still, event);
    light(near?.wearer ?? kept, near);
  });
  still.addEventListener("pointerleave", () => light(kept));
  still.addEventListener("click", (event) => {
    const near = nearest(shown(), still, event);
    keep(near?.wearer === kept ? undefined : near?.wearer, near);
  });
  box.addEventListener("keydown", (event) => {
    if (event.target !== box) return;
    const order = shown();
    const at = kept ? order.indexOf(kept) : -1;
    const to = stepTo(event.key, at, order.length);
    if (event.key !== "Escape" && to === undefined) return;
    event.preventDefault();
    keep(to === undefined ? undefined : order[to]);
  });
  box.addEventListener("blur", () => keep(undefined));
}

/** Where a key leads from a place among so many; undefined for a key that leads nowhere. */
function stepTo(/** @type {string} */ key, /** @type {number} */ at, /** @type {number} */ length) {
  if (key === "Home") return 0;
  if (key === "End") return length - 1;
  if (key === "ArrowRight" || key === "ArrowDown") return Math.min(at + 1, length - 1);
  return key === "ArrowLeft" || key === "ArrowUp" ? Math.max(at - 1, 0) : undefined;
}

/** @returns {Wearer} */
function wearerOf(/** @type {SVGGElement} */ element) {
  const title = find(element, "title", SVGTitleElement);
  const said = title.textContent ?? "";
  title.remove(); // or the browser would say it a second time
  const share = (/** @type {string | null} */ percent) => Number.parseFloat(percent ?? "") / 100;
  const places = [...element.querySelectorAll("circle, svg[x]")].map((mark) => ({
    x: share(mark.getAttribute("cx") ?? mark.getAttribute("x")),
    y: Number(mark.getAttribute("cy") ?? mark.getAttribute("y")),
  }));
  return { element, said, places };
}

/**
 * The dot that a pointer is nearest to; undefined where none is near.
 * @param {Wearer[]} wearers
 * @param {SVGSVGElement} still
 * @param {{clientX: number, clientY: number}} pointer
 * @returns {Place | undefined}
 */
function nearest(wearers, still, { clientX, clientY }) {
  const { left, top, width } = still.getBoundingClientRect();
  /** @type {Place | undefined} */
  let found;
  let least = REACH;
  for (const wearer of wearers) {
    for (const { x, y } of wearer.places) {
      const away = Math.hypot(left + x * width - clientX, top + y - clientY);
      if (away > least) continue;
      least = away;
      found = { wearer, x, y };
    }
  }
  return found;
}
