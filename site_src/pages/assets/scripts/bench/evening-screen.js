// The screen of one evening: what to don next, the take that is being measured, what all takes tell.
import { html, withDays } from "../common/elements.js";
import { say } from "../common/say.js";
import { entriesFrom } from "../contribute/entries.js";
import { textOf } from "../contribute/names.js";
import { button, mainButton, submitButton } from "./buttons.js";
import { answersOf, isLasting, isSame, linesOf, undone, withDraft } from "./evening.js";
import { Found } from "./found.js";
import { LogDrop } from "./log-drop.js";
import { runList, stepsOf, takeList } from "./run-list.js";
import { TakeAway } from "./take-away-buttons.js";
import { TAKE_FORM, TakeForm } from "./take-form.js";
import { Timer, timerSteps } from "./timer.js";
import { toldBy } from "./told.js";

/**
 * @typedef {import("./evening.js").Evening} Evening
 * @typedef {import("./evening.js").State} State
 * @typedef {import("./evening.js").Line} Line
 * @typedef {import("./evening.js").Draft} Draft
 * @typedef {import("./known.js").Known} Known
 *
 * @typedef {object} Use
 * @property {(changed: Partial<State>, did: string) => void} step one that can be undone
 * @property {(changed: Partial<State>) => void} hold
 * @property {() => void} shown asks to be shown anew
 * @property {(back: Evening) => void} undo
 * @property {() => void} all shows all evenings
 * @property {() => void} anew begins another one
 */

export class EveningScreen {
  /**
   * @param {Known} known
   * @param {string} repository
   * @param {Use} use
   */
  constructor(known, repository, use) {
    this.known = known;
    this.use = use;
    this.heading = html("h2", { tabindex: -1 });
    this.about = html("p", { class: "sb-muted sb-bench__on" });
    this.tools = html("p", { class: "sb-bench__buttons sb-bench__tools" });
    this.now = html("section", { class: "sb-bench__now", "aria-label": say("bench_page.now") });
    this.found = new Found(known);
    this.run = html("div");
    this.takes = html("div");
    this.away = new TakeAway(known, repository);
    this.element = html(
      "div",
      { class: "sb-bench__evening" },
      html("div", { class: "sb-bench__head" }, html("div", {}, this.heading, this.about), this.tools),
      html("div", { class: "sb-bench__columns" }, this.now, this.found.element),
      html("div", { class: "sb-bench__columns" }, html("section", { class: "sb-bench__sheet" }, html("h2", {}, say("bench_page.run")), this.run), html("section", {}, html("h2", {}, say("bench_page.takes")), this.takes)),
      this.away.element,
    );
    /** @type {Line[]} */
    this.lines = [];
    /** Whether a take is being filled in. @type {TakeForm | null} */
    this.form = null;
  }

  show(/** @type {Evening} */ evening) {
    const { state } = evening;
    const { setUp } = state;
    this.evening = evening;
    this.lines = linesOf(state, this.known.bench.lasting);
    const told = this.toldBy(state);
    this.heading.textContent = this.known.labels.mask(setUp);
    const protocol = this.known.labels.protocol(setUp);
    const about = [textOf(setUp.answers, "test.face.wearer"), textOf(setUp.answers, "test.date"), protocol];
    this.about.replaceChildren(...withDays(about.join(" · ")));
    this.showTools(evening);
    this.showNow(state);
    this.found.show(state, told);
    this.run.replaceChildren(
      html(
        "div",
        { class: "sb-table", tabindex: 0, role: "region", "aria-label": say("bench_page.run") },
        runList(state, this.lines, told.readings, this.known, (line) => this.don(line)),
      ),
    );
    this.takes.replaceChildren(
      told.readings.length
        ? takeList(state, told.readings, this.known, {
            edit: ({ take }) => this.draft({ ...take }),
            remove: ({ take, number }) =>
              this.use.step({ takes: state.takes.filter((one) => one !== take) }, say("bench_page.did_remove", { number })),
          })
        : html("p", { class: "sb-muted" }, say("bench_page.no_takes")),
    );
    this.away.show(state, told);
  }

  /** What the takes tell: found once for the same takes, however often they are shown. */
  toldBy(/** @type {State} */ state) {
    const { takes, setUp } = state;
    if (this.last?.takes !== takes || this.last.setUp !== setUp) this.last = { takes, setUp, told: toldBy(state, this.known) };
    return this.last.told;
  }

  /** @type {{takes: State["takes"], setUp: State["setUp"], told: import("./told.js").Told} | undefined} */
  last;

  showTools(/** @type {Evening} */ evening) {
    const last = evening.past.at(-1);
    const undo = last && evening.past.length > 1 ? [button(say("bench_page.undo", { did: last.did }), () => this.use.undo(undone(evening)))] : [];
    this.tools.replaceChildren(
      ...undo,
      button(say("bench_page.change_set_up"), () => {
        this.use.hold({ editing: evening.state.setUp });
        this.use.shown();
      }),
      button(say("bench_page.print"), () => print()),
      button(say("bench_page.all_evenings"), this.use.all),
      button(say("form.anew"), this.use.anew),
    );
  }

  showNow(/** @type {State} */ state) {
    this.form = null;
    this.now.replaceChildren(...(state.draft ? this.take(state, state.draft) : this.next(state)));
  }

  /** The line that comes next: the first without a take that counts. */
  nextLine() {
    return this.lines.find(({ take }) => !take) ?? null;
  }

  next(/** @type {State} */ state) {
    const line = this.nextLine();
    const others = this.others(state);
    if (!line) {
      return [
        html("h3", { tabindex: -1 }, say("bench_page.complete")),
        html("p", {}, say("bench_page.complete_about")),
        others,
      ];
    }
    const title = say("bench_page.next", { place: this.lines.indexOf(line) + 1, donnings: this.lines.length });
    return [
      html("p", { class: "sb-bench__count" }, title),
      ...this.instructions(state, line),
      html("p", {}, mainButton(say("bench_page.don"), () => this.don(line))),
      others,
    ];
  }

  /** What to change, what is worn then, what to beware of. */
  instructions(/** @type {State} */ state, /** @type {Pick<Line, "worn" | "specimen">} */ line) {
    const before = state.takes.at(-1) ?? null;
    const todo = stepsOf(state, this.lines, this.known)(before, line);
    const cautions = this.known.labels.cautions(state.setUp, line.worn);
    return [
      html("h3", { class: "sb-bench__wear", tabindex: -1 }, this.known.labels.change(state.setUp, line.worn)),
      html("ul", { class: "sb-bench__steps" }, ...(todo.length ? todo : [say("sheet.nothing")]).map((text) => html("li", {}, text))),
      ...(cautions.length ? [html("p", { class: "sb-bench__beware" }, cautions.join(" "))] : []),
    ];
  }

  /** Every configuration, to don one out of turn. */
  others(/** @type {State} */ state) {
    const all = [...this.lines, ...state.takes].map(({ worn, specimen }) => ({ worn, specimen }));
    const each = all.filter((one, place) => all.findIndex((other) => isSame(one.worn, other.worn)) === place);
    const buttons = each.map((one) => html("li", {}, button(this.known.labels.change(state.setUp, one.worn), () => this.don(one))));
    return html(
      "details",
      { class: "sb-more" },
      html("summary", {}, say("bench_page.something_else")),
      html("ul", { class: "sb-bench__others" }, ...buttons),
    );
  }

  don(/** @type {Pick<Line, "worn" | "specimen">} */ line) {
    const { worn } = line;
    const specimen = this.specimenFor(line);
    const before = this.evening?.state.takes.findLast((take) => take.specimen === specimen);
    const label = before ? textOf(before.answers, "test.specimen.label") : "";
    this.draft({ id: null, worn, specimen, answers: label ? { "test.specimen.label": label } : {} });
  }

  /** The specimen to take: a further one where its own has a part for good that is not to be worn. */
  specimenFor(/** @type {Pick<Line, "worn" | "specimen">} */ { worn, specimen }) {
    const { setUp, takes } = /** @type {Evening} */ (this.evening).state;
    const spoilt = takes
      .filter((take) => Object.entries(take.worn).some(([slot, part]) => worn[slot] !== part && isLasting(setUp.newParts, part, this.known.bench.lasting)))
      .map((take) => take.specimen);
    return spoilt.includes(specimen) ? Math.max(...takes.map((take) => take.specimen)) + 1 : specimen;
  }

  draft(/** @type {Draft} */ draft) {
    this.use.hold({ draft });
    this.use.shown();
    this.now.scrollIntoView({ block: "nearest" });
    this.now.querySelector("h3")?.focus();
  }

  take(/** @type {State} */ state, /** @type {Draft} */ draft) {
    const { setUp, takes } = state;
    const place = draft.id === null ? takes.length : takes.findIndex(({ id }) => id === draft.id);
    const protocol = textOf(setUp.answers, "test.result.protocol");
    const form = new TakeForm(draft.answers, this.known.form, protocol, {
      judged: (answers) => entriesFrom(answersOf(setUp, { ...draft, answers }, place), this.known.form, this.known.today()),
      changed: (answers) => this.use.hold({ draft: { ...draft, answers } }),
      done: () => this.finish(),
    });
    this.form = form;
    const title = say("bench_page.take_number", { number: place + 1 });
    const instructions = draft.id === null ? this.instructions(state, draft) : [html("h3", { class: "sb-bench__wear", tabindex: -1 }, this.known.labels.change(setUp, draft.worn))];
    const log = new LogDrop({
      protocol,
      instrument: textOf(setUp.answers, "test.conditions.instrument"),
      exercise: (id) => this.known.labels.exercise(id),
      take: (answers) => form.put(answers),
    });
    return [
      html("p", { class: "sb-bench__count" }, title),
      ...instructions,
      ...(draft.id === null ? [this.timer(state).element] : []),
      log.element,
      form.element,
      html(
        "p",
        { class: "sb-bench__buttons" },
        submitButton(say("bench_page.keep"), TAKE_FORM),
        button(say("bench_page.cancel"), () => {
          this.use.hold({ draft: null });
          this.use.shown();
        }),
      ),
    ];
  }

  /** A clock by the times of the evening's protocol. */
  timer(/** @type {State} */ { setUp: { answers } }) {
    const timing = this.known.form.protocols[textOf(answers, "test.result.protocol")];
    const purge = Number(textOf(answers, "test.conditions.purge_seconds").replace(",", ".")) || 0;
    return new Timer(timerSteps(timing, purge, (exercise) => this.known.labels.exercise(exercise)));
  }

  /** Keeps the take, if nothing is wrong with it. */
  finish() {
    const { form } = this;
    const state = this.evening?.state;
    if (!form?.isReady() || !state?.draft) return;
    const draft = { ...state.draft, answers: form.answers() };
    const takes = withDraft(state.takes, draft);
    const number = draft.id === null ? takes.length : takes.findIndex(({ id }) => id === draft.id) + 1;
    this.use.step({ takes, draft: null }, say(draft.id === null ? "bench_page.did_take" : "bench_page.did_edit", { number }));
    this.now.querySelector("h3")?.focus({ preventScroll: true });
    this.element.scrollIntoView({ block: "start" });
  }
}
