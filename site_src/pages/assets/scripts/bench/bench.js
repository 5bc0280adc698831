// The bench page: the evenings of this browser, and the one that is open. Nothing of them leaves the page.
import { find, html, show } from "../common/elements.js";
import { say } from "../common/say.js";
import { textOf } from "../contribute/names.js";
import { EveningScreen } from "./evening-screen.js";
import { after, newEvening, nextNumber, sharedAnswers } from "./evening.js";
import { home } from "./home.js";
import { KeptEvenings } from "./kept-evenings.js";
import { loadKnown } from "./known.js";
import { offlineLine } from "./offline.js";
import { SetUpForm } from "./set-up.js";

/**
 * @typedef {import("./evening.js").Evening} Evening
 * @typedef {import("./evening.js").State} State
 * @typedef {import("./known.js").Known} Known
 */

/** @param {HTMLElement} root */
export async function start(root) {
  const bare = find(root, ".sb-bench__bare", HTMLElement);
  try {
    const known = await loadKnown();
    const kept = await KeptEvenings.open().catch(() => null);
    const bench = new Bench(root, known, kept);
    await bench.read();
    // All at once: what is shown first and moved later would jump.
    bare.hidden = true;
    root.append(...bench.parts);
    bench.show();
  } catch (error) {
    show(bare, say("bench_page.not_loaded"));
    bare.classList.add("sb-bench__bare--failed");
    throw error;
  }
}

class Bench {
  /**
   * @param {HTMLElement} root
   * @param {Known} known
   * @param {KeptEvenings | null} kept null where the browser keeps nothing
   */
  constructor(root, known, kept) {
    this.root = root;
    this.known = known;
    this.kept = kept;
    this.repository = root.dataset.repository ?? "";
    /** @type {Evening[]} */
    this.evenings = [];
    /** @type {Evening | null} */
    this.evening = null;
    /** @type {EveningScreen | null} */
    this.screen = null;
    this.status = html("p", { class: "sb-bench__kept sb-muted", role: "status" });
    this.place = html("div", { class: "sb-bench__place" });
    this.parts = [this.status, offlineLine(known.bench), this.place];
    /** What is being written; the next waits for it. */
    this.writing = Promise.resolve();
    this.others = new BroadcastChannel("sealbook-bench");
    this.others.addEventListener("message", async () => {
      await this.read();
      this.show();
    });
  }

  /** Takes what is kept, and the evening that was open. */
  async read() {
    if (this.kept) this.evenings = await this.kept.all();
    const { evening: before } = this;
    this.evening = this.evenings.find(({ id, open }) => (before ? id === before.id : open)) ?? null;
    if (!this.kept) this.inform(say("bench_page.keeps_nothing"));
  }

  /** Keeps the open evening as it is now; says when it is on the disk. */
  keep() {
    const { evening } = this;
    if (!evening) return;
    this.evenings = [evening, ...this.evenings.filter(({ id }) => id !== evening.id)];
    if (!this.kept) return;
    const { kept: base } = this;
    this.status.dataset.kept = "false";
    this.writing = this.writing
      .then(() => base.put(evening))
      .then(() => {
        if (this.evening === evening) this.status.dataset.kept = "true";
        this.inform(say("bench_page.kept"));
      })
      .catch(() => this.inform(say("bench_page.not_kept")));
  }

  /** Says how the evening is kept, where that has changed. */
  inform(/** @type {string} */ text) {
    if (this.status.textContent !== text) this.status.textContent = text;
  }

  /** Opens an evening, or shows them all. */
  open(/** @type {Evening | null} */ evening) {
    this.mark(false);
    this.evening = evening;
    this.mark(true);
    this.inform(this.kept ? "" : say("bench_page.keeps_nothing"));
    this.show();
    this.focus();
  }

  /** Notes of the present evening whether it is open, so that it is again after the browser was closed. */
  mark(/** @type {boolean} */ open) {
    if (!this.evening) return;
    this.evening = { ...this.evening, open };
    this.keep();
  }

  /** Begins a new evening with what the last one shared with it. */
  begin() {
    const evening = newEvening(sharedAnswers(this.evenings[0]?.state.setUp.answers ?? {}, this.known.today()));
    this.open(evening);
    navigator.storage?.persist?.();
  }

  /**
   * A step that can be undone.
   * @param {Partial<State>} changed
   * @param {string} did
   */
  step(changed, did) {
    if (!this.evening) return;
    this.evening = after(this.evening, changed, did);
    this.keep();
    this.tell();
    this.show();
  }

  /** What is typed and not finished: kept, and no step of its own. */
  hold(/** @type {Partial<State>} */ changed) {
    if (!this.evening) return;
    this.evening = { ...this.evening, state: { ...this.evening.state, ...changed } };
    this.keep();
  }

  /** Lets other tabs know. */
  tell() {
    this.writing.then(() => this.others.postMessage(""));
  }

  remove(/** @type {Evening} */ evening) {
    if (confirm(say("bench_page.really_remove"))) this.drop(evening);
  }

  /** Removes an evening; it leaves the page once it is off the disk. */
  async drop(/** @type {Evening} */ evening) {
    this.evenings = this.evenings.filter(({ id }) => id !== evening.id);
    if (this.evening?.id === evening.id) this.evening = null;
    let told = "";
    this.writing = this.writing
      .then(() => this.kept?.remove(evening.id))
      .catch(async () => {
        told = say("bench_page.not_removed");
        await this.read();
      });
    this.tell();
    await this.writing;
    if (!this.evening) this.open(null);
    else if (told) this.show();
    if (told) this.inform(told);
  }

  focus() {
    const heading = this.place.querySelector("h2");
    heading?.focus();
  }

  show() {
    const { evening } = this;
    this.root.dataset.screen = evening ? (evening.state.editing ? "set-up" : "evening") : "home";
    if (!evening) {
      this.screen = null;
      this.place.replaceChildren(
        home(this.evenings, this.known, {
          begin: () => this.begin(),
          open: (one) => this.open(one),
          remove: (one) => this.remove(one),
        }),
      );
    } else if (evening.state.editing) this.showSetUp(evening, evening.state.editing);
    else this.showEvening(evening);
  }

  showSetUp(/** @type {Evening} */ evening, /** @type {import("./evening.js").SetUp} */ editing) {
    this.screen = null;
    const begun = evening.state.setUp !== editing && evening.past.length > 0;
    const form = new SetUpForm(editing, this.known, {
      begun: evening.state.takes.length > 0,
      changed: (setUp) => this.hold({ editing: setUp }),
      done: (setUp) => {
        const numbered = begun ? setUp : nextNumber(setUp, this.evenings.filter(({ id }) => id !== evening.id));
        this.step({ setUp: numbered, editing: null }, say("bench_page.did_set_up"));
        this.focus();
      },
      cancelled: () => {
        if (begun) {
          this.hold({ editing: null });
          this.show();
          this.focus();
        } else if (textOf(this.evening?.state.editing?.answers ?? {}, "test.mask")) this.open(null);
        else this.drop(evening);
      },
    });
    this.place.replaceChildren(form.element);
  }

  showEvening(/** @type {Evening} */ evening) {
    this.screen ??= this.newScreen();
    this.screen.show(evening);
  }

  newScreen() {
    const screen = new EveningScreen(this.known, this.repository, {
      step: (changed, did) => this.step(changed, did),
      hold: (changed) => this.hold(changed),
      shown: () => this.show(),
      undo: (back) => {
        this.evening = back;
        this.keep();
        this.tell();
        this.show();
      },
      all: () => this.open(null),
      anew: () => this.begin(),
    });
    this.place.replaceChildren(screen.element);
    return screen;
  }
}
