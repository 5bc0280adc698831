// The form that writes a test: what is typed becomes files in the page itself, is kept in the browser, goes nowhere.
import { find, html, nameOf, show } from "../common/elements.js";
import { load } from "../common/files.js";
import { say } from "../common/say.js";
import { entriesFrom } from "./entries.js";
import { Form } from "./form.js";
import { KnownFaces } from "./known-faces.js";
import { Mistakes } from "./mistakes.js";
import { textOf } from "./names.js";
import { Output } from "./output.js";

/** @typedef {import("./names.js").Answers} Answers */

const STORE = "sealbook-contribute";
// What the next donning of a day does not share with the one before.
const OF_ONE_DONNING = /^test\.(result\.(?!protocol)|observations\.)/;

/** @param {HTMLElement} root */
export async function start(root) {
  const bare = find(root, ".sb-contribute__bare", HTMLElement);
  try {
    new Contribution(root, /** @type {Published.Form} */ (await load("form.json")));
    bare.hidden = true;
  } catch (error) {
    show(bare, say("form.not_loaded"));
    bare.classList.add("sb-contribute__bare--failed");
    throw error;
  }
}

class Contribution {
  /**
   * @param {HTMLElement} root
   * @param {Published.Form} known
   */
  constructor(root, known) {
    this.known = known;
    /** Questions that were left. @type {Set<string>} */
    this.touched = new Set();
    /** Whether everything that is wrong is due to be shown. */
    this.all = false;
    /** @type {import("./entries.js").Outcome} */
    this.outcome = { files: [], problems: new Map(), warnings: new Map(), overall: null, test: {} };
    const element = html("form", {
      class: "sb-contribute__form",
      autocomplete: "off",
      novalidate: "",
      "aria-label": say("form.title"),
    });
    const result = html("section", { class: "sb-contribute__result", "aria-label": say("form.files") });
    this.form = new Form(element, known, () => this.update());
    this.mistakes = new Mistakes(this.form);
    this.faces = new KnownFaces(this.form, known);
    this.output = new Output(result, root.dataset.repository ?? "", () => this.isReady());
    const next = button(say("form.next"), () => this.next());
    const anew = button(say("form.anew"), () => {
      if (confirm(say("form.really_anew"))) this.begin({});
    });
    element.append(html("p", { class: "sb-contribute__buttons" }, next, anew));
    root.append(html("div", { class: "sb-contribute__columns" }, html("div", {}, this.mistakes.element, element), result));
    element.addEventListener("submit", (event) => event.preventDefault());
    element.addEventListener("input", () => this.update());
    element.addEventListener("change", (event) => this.settle(nameOf(event)));
    element.addEventListener("focusout", (event) => this.touch(nameOf(event)));
    this.begin(kept());
  }

  /** Begins with some answers. */
  begin(/** @type {Answers} */ answers) {
    this.form.fill(answers);
    this.touched.clear();
    this.all = false;
    this.faces.begin();
    this.update();
  }

  /** The same again but for what was measured and noticed. */
  next() {
    const answers = Object.entries(this.form.answers()).filter(([name]) => !OF_ONE_DONNING.test(name));
    const number = Number.parseInt(textOf(this.form.answers(), "test.number"), 10) || 0;
    this.begin({ ...Object.fromEntries(answers), "test.number": String(number + 1) });
    const asked = this.form.inOrder().filter(({ element }) => element.checkVisibility());
    const first = asked.find(({ name }) => OF_ONE_DONNING.test(name));
    if (first) this.form.focus(first.name);
  }

  touch(/** @type {string} */ name) {
    if (!name) return;
    this.touched.add(name);
    this.update();
  }

  settle(/** @type {string} */ name) {
    this.faces.settle(name);
    this.touch(name);
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
    this.mistakes.show(this.all ? this.outcome.problems : new Map());
    keep(answers);
  }

  /** Whether the files may leave the page; if not, says what is in the way. */
  isReady() {
    const ready = this.outcome.problems.size === 0;
    this.all = !ready;
    if (!ready) {
      this.update();
      this.mistakes.element.focus();
    }
    return ready;
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
function keep(/** @type {Answers} */ answers) {
  try {
    localStorage.setItem(STORE, JSON.stringify(answers));
  } catch {
    // Nothing is lost while the page is open.
  }
}

/** @returns {Answers} */
function kept() {
  try {
    const answers = JSON.parse(localStorage.getItem(STORE) ?? "{}");
    return typeof answers === "object" && answers !== null ? answers : {};
  } catch {
    return {};
  }
}
