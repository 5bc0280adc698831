// The form that writes a test: what is typed becomes files in the page itself, is kept in the browser, goes nowhere.
import { html, load, say } from "../common/elements.js";
import { entriesFrom } from "./entries.js";
import { Form } from "./form.js";
import { Output } from "./output.js";

const STORE = "sealbook-contribute";
// What the next donning of a day does not share with the one before.
const OF_ONE_DONNING = /^test\.(result\.(?!protocol)|observations\.)/;

/** @param {HTMLElement} root */
export async function start(root) {
  const bare = root.querySelector(".sb-contribute__bare");
  try {
    new Contribution(root, await load("form.json"));
    bare.hidden = true;
  } catch (error) {
    say(bare, "The form could not be loaded. How to write the file by hand is below.");
    bare.classList.add("sb-contribute__bare--failed");
    throw error;
  }
}

class Contribution {
  /**
   * @param {HTMLElement} root
   * @param {any} known
   */
  constructor(root, known) {
    this.known = known;
    this.touched = new Set();
    this.all = false;
    this.wearer = "";
    const element = html("form", {
      class: "sb-contribute__form",
      autocomplete: "off",
      novalidate: "",
      "aria-label": "A test",
    });
    const result = html("section", { class: "sb-contribute__result", "aria-label": "The files" });
    this.summary = html("div", {
      class: "sb-contribute__summary",
      role: "group",
      "aria-label": "Mistakes",
      tabindex: -1,
      hidden: "",
    });
    this.form = new Form(element, known, () => this.update());
    this.output = new Output(result, root.dataset.repository, () => this.isReady());
    const next = button("One more donning", () => this.next());
    const anew = button("Start anew", () => confirm("Clear everything that is filled in?") && this.begin({}));
    element.append(html("p", { class: "sb-contribute__buttons" }, next, anew));
    root.append(html("div", { class: "sb-contribute__columns" }, html("div", {}, this.summary, element), result));
    element.addEventListener("submit", (event) => event.preventDefault());
    element.addEventListener("input", () => this.update());
    element.addEventListener("change", (event) => this.settle(event.target.name));
    element.addEventListener("focusout", (event) => this.touch(event.target.name));
    this.begin(kept());
  }

  /** Begins with some answers. */
  begin(/** @type {import("./names.js").Answers} */ answers) {
    this.form.fill(answers);
    this.touched.clear();
    this.all = false;
    this.wearer = this.form.answers()["test.face.wearer"];
    this.update();
  }

  /** The same again but for what was measured and noticed. */
  next() {
    const answers = Object.entries(this.form.answers()).filter(([name]) => !OF_ONE_DONNING.test(name));
    const number = Number.parseInt(this.form.answers()["test.number"], 10) || 0;
    this.begin({ ...Object.fromEntries(answers), "test.number": String(number + 1) });
    const asked = this.form.inOrder().filter(({ element }) => element.checkVisibility());
    this.form.focus(asked.find(({ name }) => OF_ONE_DONNING.test(name)).name);
  }

  touch(/** @type {string} */ name) {
    if (!name) return;
    this.touched.add(name);
    this.update();
  }

  /** After an answer is complete: a wearer who is known has a face that is known. */
  settle(/** @type {string} */ name) {
    if (name === "test.face.wearer") {
      const wearer = this.form.answers()[name].trim();
      const face = this.faceOf(wearer) ?? (this.faceOf(this.wearer) ? {} : null);
      if (face && wearer !== this.wearer) this.fillFace(face);
      this.wearer = wearer;
    }
    this.touch(name);
  }

  faceOf(/** @type {string} */ wearer) {
    return Object.hasOwn(this.known.wearers, wearer) ? this.known.wearers[wearer] : null;
  }

  fillFace({ length_mm = "", width_mm = "", cell = "", nose_bridge = "" }) {
    const known = length_mm ? "mm" : cell ? "cell" : "";
    const face = { length_mm, width_mm, cell: known === "cell" ? cell : "", nose_bridge };
    for (const [key, value] of Object.entries(face)) this.form.controls.get(`test.face.${key}`).value = String(value);
    this.form.controls.get("face.known").value = known;
  }

  update() {
    this.form.arrange();
    const answers = this.form.answers();
    this.outcome = entriesFrom(answers, this.known, today());
    // A list of rows is due once one of its fields is.
    const touched = (/** @type {string} */ name) =>
      [...this.touched].some((one) => one === name || one.startsWith(`${name}.`));
    this.form.judge(this.outcome, (name) => this.all || touched(name));
    this.output.show(this.outcome);
    this.summarise();
    keep(answers);
  }

  /** Whether the files may leave the page; if not, says what is in the way. */
  isReady() {
    const ready = this.outcome.problems.size === 0;
    this.all = !ready;
    if (!ready) {
      this.update();
      this.summary.focus();
    }
    return ready;
  }

  /** Lists what is wrong in the order of the form, each leading to its question. */
  summarise() {
    const wrong = this.form.inOrder().filter((control) => this.outcome.problems.has(control.name));
    this.summary.hidden = !(this.all && wrong.length);
    const texts = wrong.map((control) => `${control.label}: ${this.outcome.problems.get(control.name)}`);
    // A link that is pressed while a field loses the focus must stay in place.
    if (this.summary.hidden || this.summarised === texts.join("\n")) return;
    this.summarised = texts.join("\n");
    const items = wrong.map((control, place) => {
      const link = html("a", { href: `#field-${control.name}` }, texts[place]);
      link.addEventListener("click", (event) => {
        event.preventDefault();
        this.form.focus(control.name);
      });
      return html("li", {}, link);
    });
    this.summary.replaceChildren(
      html("p", {}, html("strong", {}, "Before the file can be used:")),
      html("ul", {}, ...items),
    );
  }
}

function button(/** @type {string} */ label, /** @type {() => void} */ act) {
  const element = html("button", { type: "button" }, label);
  element.addEventListener("click", act);
  return element;
}

/** The day where the reader is. */
function today() {
  const now = new Date();
  return new Date(now.valueOf() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

/** Keeps what was typed for the next visit; without storage it lasts as long as the page. */
function keep(/** @type {import("./names.js").Answers} */ answers) {
  try {
    localStorage.setItem(STORE, JSON.stringify(answers));
  } catch {
    // Nothing is lost while the page is open.
  }
}

/** @returns {import("./names.js").Answers} */
function kept() {
  try {
    const answers = JSON.parse(localStorage.getItem(STORE) ?? "{}");
    return typeof answers === "object" && answers !== null ? answers : {};
  } catch {
    return {};
  }
}
