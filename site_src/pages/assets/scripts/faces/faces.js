// The face page: what readers tell of their face and of masks on it, and what to try, worked out where they sit.
import { fieldNamed, find, findAll, html, nameOf, show } from "../common/elements.js";
import { load, atRoot } from "../common/files.js";
import { forgetFace, keepFace, keptFace } from "../common/kept-face.js";
import { copyLink } from "../common/link.js";
import { cellOf, isSmall } from "../common/panel.js";
import { placeOf, readPeople } from "../common/people.js";
import { savePng, saveSvg } from "../common/picture.js";
import { pieces, say } from "../common/say.js";
import { readModel } from "../statistics/face-model.js";
import { firstList, link, rankedList } from "./advice-list.js";
import { answerPicture } from "./answer-picture.js";
import { allowed, NOTHING, only, queryOf, stateFrom } from "./face-state.js";
import { briefFace, faceWords, lackWords, leftOutWords, smallWords } from "./face-words.js";
import { nearAdvice } from "./near-advice.js";
import { adviceOn } from "./own-advice.js";
import { PeopleMap } from "./people-map.js";
import { ToldLines } from "./told-lines.js";

/** @typedef {import("./face-state.js").State} State */
/** @typedef {import("./face-state.js").Key} Key */
/** @typedef {import("./own-advice.js").Advice} Advice */

// A link may hold a face; no request may carry it along.
const UNTOLD = /** @type {const} */ ({ referrerPolicy: "no-referrer" });

/** The keys with a field of the form. @type {Key[]} */
const FIELDS = ["length", "width", "cell", "bridge", "masks"];

/** @param {HTMLElement} root */
export async function start(root) {
  document.head.append(html("meta", { name: "referrer", content: "no-referrer" }));
  const note = find(root, ".sb-face__note", HTMLElement);
  try {
    const hasModel = root.dataset.model === "yes";
    const [panel, people, model] = await Promise.all([
      load(atRoot("panel.json"), UNTOLD),
      load("people.json", UNTOLD),
      hasModel ? load(atRoot("model.json"), UNTOLD) : null,
    ]);
    const page = new Faces(root, note, {
      panel: /** @type {Published.Panel} */ (panel),
      people: /** @type {Published.People} */ (people),
      model: /** @type {Published.FaceModel | null} */ (model),
    });
    page.restore();
  } catch (error) {
    show(note, say("face.not_loaded"));
    throw error;
  }
}

class Faces {
  /**
   * @param {HTMLElement} root
   * @param {HTMLElement} note
   * @param {{panel: Published.Panel, people: Published.People, model: Published.FaceModel | null}} files
   */
  constructor(root, note, { panel, people, model }) {
    this.root = root;
    this.note = note;
    this.panel = panel;
    this.published = people;
    this.people = readPeople(people);
    this.model = model && readModel(model);
    this.form = find(root, "form", HTMLFormElement);
    this.keep = find(root, "[name=keep]", HTMLInputElement);
    this.whose = find(root, ".sb-face__whose", HTMLElement);
    this.first = find(root, ".sb-face__first", HTMLElement);
    this.ranked = find(root, ".sb-face__ranked", HTMLElement);
    this.telling = find(root, ".sb-face__telling", HTMLElement);
    this.saving = find(root, ".sb-face__save", HTMLElement);
    /** @type {Readonly<State>} */
    this.state = NOTHING;
    /** @type {Advice | null} */
    this.advice = null;
    const toldPlace = root.querySelector(".sb-told");
    this.told =
      model && toldPlace instanceof HTMLElement
        ? new ToldLines(toldPlace, { people: this.people, worth: model.own_results, changed: () => this.read() })
        : null;
    this.map = new PeopleMap(find(root, ".sb-face__people", HTMLElement), { people: this.people, cells: panel.cells });

    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", (event) => this.input(nameOf(event)));
    this.keep.addEventListener("change", () => this.keepOrForget());
    this.onPress("clear", () => this.clear());
    this.onPress("copy", () => this.copy());
    this.onPress("svg", () => this.saveSvg());
    this.onPress("png", () => this.savePng());
  }

  onPress(/** @type {string} */ action, /** @type {() => void} */ act) {
    find(this.root, `[data-action=${action}]`, HTMLElement).addEventListener("click", act);
  }

  /** Takes what a link holds, else what is kept on this device. */
  restore() {
    const { state, ignored } = stateFrom(location.search, this.panel);
    const kept = keptFace();
    this.keep.checked = kept !== null;
    const linked = queryOf({ ...state, masks: "" }) !== "";
    const taken = linked || !kept ? state : { ...this.allowedOf(kept), masks: state.masks };
    // Somebody may have begun to fill in the form before this page was loaded.
    for (const key of FIELDS) if (taken[key]) this.fill(key, taken[key]);
    const left = this.told ? this.told.restore(taken.own) : taken.own;
    show(this.note, leftOutWords([...ignored, ...left.map((value) => ({ key: "own", value }))]) || this.lack());
    this.read(false);
  }

  /** What of a face that was kept still fits one. */
  allowedOf(/** @type {import("../common/kept-face.js").KeptFace} */ kept) {
    const state = { ...NOTHING, own: kept.own };
    for (const key of /** @type {const} */ (["length", "width", "cell", "bridge"])) {
      if (kept[key] && allowed(key, kept[key], this.panel)) Object.assign(state, only(key), { [key]: kept[key] });
    }
    return state;
  }

  /**
   * Takes what the reader typed or chose in a field.
   * @param {string} name
   */
  input(name) {
    const filled = FIELDS.find((key) => key === name);
    if (filled && this.field(filled) !== "") for (const key of FIELDS) if (key in only(filled)) this.fill(key, "");
    show(this.note, this.lack());
    this.read();
  }

  /** Takes everything as it stands; an address that told something else is emptied. */
  read(changed = true) {
    const state = { ...NOTHING, own: this.told?.texts ?? [] };
    for (const key of FIELDS) {
      if (this.field(key) !== "" && allowed(key, this.field(key), this.panel)) state[key] = this.field(key);
    }
    this.state = state;
    if (changed && location.search) history.replaceState(history.state, "", location.pathname + location.hash);
    if (changed && this.keep.checked) this.keepOrForget();
    this.answer(state);
  }

  keepOrForget() {
    const { length, width, cell, bridge, own } = this.state;
    if (!this.keep.checked) forgetFace();
    else if (!keepFace({ length, width, cell, bridge, own: [...own] })) {
      this.keep.checked = false;
      show(this.note, say("face.not_kept"));
    }
  }

  /** Removes everything, from the page and from this device. */
  clear() {
    forgetFace();
    this.keep.checked = false;
    for (const key of FIELDS) this.fill(key, "");
    this.told?.restore([]);
    show(this.note, say("face.removed"));
    this.read();
  }

  /** @param {State} state */
  answer(state) {
    const { length, width, cell } = state;
    const exact = length && width ? { length: Number(length), width: Number(width) } : null;
    const place = exact ? cellOf(exact.length, exact.width, this.panel.cells) : cell || "unknown";
    const asSold = state.masks !== "all";
    const small = exact !== null && isSmall(exact.length, exact.width, this.panel.least);
    const face = `${place === "outside" ? "unknown" : place}-${state.bridge || "unknown"}`;
    const type = small ? "small" : `${face}${asSold ? "-as-sold" : ""}`;
    for (const rect of findAll(this.root, "[data-cell]", SVGElement)) {
      rect.classList.toggle("sb-panel__cell--here", rect.dataset.cell === place && !small);
    }
    if (small) this.showSmall(state);
    else {
      const outside = place === "outside";
      const advice = this.worked(state, { exact, outside, asSold });
      const masks = say(asSold ? "face.as_sold_only" : "face.changed_too");
      this.whose.textContent = [faceWords(state, place, this.panel), masks].join(" ");
      this.show(advice);
      this.map.show(outside ? null : exact, advice.first[0]?.configuration ?? "");
    }
    this.root.dataset.shown = this.told?.told.length ? `${type}+${this.told.told.length}` : type;
  }

  /**
   * The advice, worked out here.
   * @param {State} state
   * @param {{exact: import("../common/people.js").Place | null, outside: boolean, asSold: boolean}} found
   */
  worked({ cell, bridge }, { exact, outside, asSold }) {
    const inside = outside ? null : exact;
    const place = placeOf({ length: inside?.length ?? null, width: inside?.width ?? null, cell }, this.panel.cells);
    if (!this.model) {
      return nearAdvice(this.people, this.published, { place, measured: inside !== null, bridge, outside, asSold });
    }
    return {
      ...adviceOn(this.model, this.people, this.published, {
        face: { ...(inside ?? {}), ...(cell ? { cell } : {}), ...(bridge ? { bridge } : {}) },
        place,
        outside,
        told: this.told?.told ?? [],
        asSold,
      }),
      told: this.told?.masksTold ?? [],
    };
  }

  show(/** @type {Advice} */ advice) {
    this.advice = advice;
    this.first.replaceChildren(...firstList(advice));
    this.ranked.replaceChildren(...rankedList(advice));
    const { telling } = advice;
    this.telling.replaceChildren(...(telling ? pieces("own.most_telling", { mask: link(telling) }) : []));
    this.telling.hidden = !telling;
    this.saving.hidden = !advice.first.length;
  }

  /** Says why there is no list, in its place. */
  showSmall(/** @type {State} */ state) {
    this.advice = null;
    this.whose.textContent = smallWords(state, this.panel.least);
    this.first.replaceChildren();
    this.ranked.replaceChildren();
    this.telling.hidden = true;
    this.saving.hidden = true;
    this.map.hide();
  }

  copy() {
    return copyLink(this.note, location.origin + location.pathname + queryOf(this.state));
  }

  /** The answer as a picture; null where there is none. The face is in it only where the reader says so. */
  picture() {
    if (!this.advice) return null;
    const withFace = find(this.saving, "[name=with-face]", HTMLInputElement).checked;
    const { name, newest, invented } = this.published;
    return answerPicture(this.advice, { face: withFace ? briefFace(this.state) : "", name, newest, invented });
  }

  saveSvg() {
    const drawing = this.picture();
    if (drawing) saveSvg(drawing, "what-to-try.svg");
  }

  async savePng() {
    const drawing = this.picture();
    if (drawing) await savePng(drawing, "what-to-try.png");
  }

  lack() {
    const typed = { length: this.field("length"), width: this.field("width") };
    return lackWords(typed, (key, value) => allowed(key, value, this.panel), this.panel.limits);
  }

  /** What stands in a field, "all" for a box without its tick; a decimal comma counts as a point. */
  field(/** @type {Key} */ name) {
    const field = fieldNamed(this.form, name);
    if (!field) return "";
    if (field instanceof HTMLInputElement && field.type === "checkbox") return field.checked ? "" : "all";
    return field.value.trim().replace(",", ".");
  }

  fill(/** @type {Key} */ name, /** @type {string} */ value) {
    const field = fieldNamed(this.form, name);
    if (field instanceof HTMLInputElement && field.type === "checkbox") field.checked = value !== "all";
    else if (field) field.value = value;
  }
}
