// What the takes tell so far: every donning as a dot, each change against as sold, which part did it.
import { html } from "../common/elements.js";
import { between, fit, times } from "../common/figures.js";
import { count, say } from "../common/say.js";
import { ratioLabel, scatterSentence, verdictWords } from "../compare/verdict-words.js";
import { dotsPicture } from "./dots.js";
import { worthSentence } from "./worth-words.js";

/**
 * @typedef {import("./known.js").Known} Known
 * @typedef {import("./evening.js").State} State
 * @typedef {import("./told.js").Told} Told
 * @typedef {import("../statistics/evening-verdicts.js").Change} Change
 */

/**
 * The rows of the picture: as sold first, then in the order of their first takes.
 * @param {State} state
 * @param {Told} told
 * @param {Known} known
 * @returns {import("./dots.js").Row[]}
 */
export function rowsOf({ setUp }, { readings, worn }, { labels }) {
  const rows = [...worn].map(([configuration, own]) => {
    const label = labels.change(setUp, own);
    const dots = readings.flatMap(({ number, configuration: of, fitFactor, atLeast, counted }) =>
      of === configuration && fitFactor !== null ? [{ number, fitFactor, atLeast, counted, label }] : [],
    );
    return { label, sold: Object.keys(own).length === 0, dots };
  });
  return rows.filter(({ dots }) => dots.length).sort((a, b) => Number(b.sold) - Number(a.sold));
}

export class Found {
  /** @param {Known} known */
  constructor(known) {
    this.known = known;
    this.figure = html("figure", { class: "sb-bench__dots" });
    this.body = html("div");
    this.element = html(
      "section",
      { class: "sb-bench__found", "aria-label": say("bench_page.so_far") },
      html("h2", {}, say("bench_page.so_far")),
      this.body,
    );
    /** @type {import("./dots.js").Row[]} */
    this.rows = [];
    new ResizeObserver(() => this.draw()).observe(this.element);
  }

  /**
   * @param {State} state
   * @param {Told} told
   */
  show(state, told) {
    this.rows = rowsOf(state, told, this.known);
    this.element.hidden = this.rows.length === 0;
    this.figure.replaceChildren();
    this.body.replaceChildren(
      this.figure,
      html("p", { class: "sb-muted sb-bench__legend" }, say("bench_page.legend")),
      ...this.changes(state, told),
      ...this.parts(state, told),
      html("p", { class: "sb-muted" }, scatterSentence(this.known.bench.scatter)),
    );
    this.draw();
  }

  /** Draws the picture as wide as its place. */
  draw() {
    const width = Math.min(this.element.clientWidth, 720);
    if (!width || !this.rows.length || this.figure.querySelector("svg")?.width.baseVal.value === width) return;
    this.figure.replaceChildren(dotsPicture(this.rows, { width, title: this.described() }));
  }

  /** The picture in words. */
  described() {
    const rows = this.rows.map(({ label, dots }) => {
      const figures = dots.map(({ fitFactor, atLeast, counted }) => {
        const figure = fit(fitFactor, atLeast);
        return counted ? figure : say("bench_page.aside_figure", { figure });
      });
      return say("chart.labelled", { label, figures: figures.join(", ") });
    });
    return say("bench_page.picture", { rows: rows.join("; ") });
  }

  changes(/** @type {State} */ { setUp }, /** @type {Told} */ { verdicts, worn, readings }) {
    if (!readings.some(({ counted }) => counted)) return [html("p", {}, say("bench_page.none_counts"))];
    const sold = readings.some((one) => one.counted && Object.keys(one.take.worn).length === 0);
    if (!sold) return [html("p", {}, say("bench_page.no_sold"))];
    if (!verdicts.changes.length) return [html("p", {}, say("bench_page.no_change"))];
    const items = verdicts.changes.map((change) => {
      const label = this.known.labels.change(setUp, worn.get(change.configuration) ?? {});
      return html("li", {}, ...this.change(label, change));
    });
    const several = items.length > 1 ? [html("p", { class: "sb-muted" }, say("bench_page.list", { comparisons: items.length }))] : [];
    return [
      html("h3", {}, say("bench_page.against_sold")),
      html("ul", { class: "sb-bench__verdicts" }, ...items),
      ...several,
    ];
  }

  change(/** @type {string} */ label, /** @type {Change} */ { found, worth }) {
    const clear = found.verdict === "clear";
    const interval = clear ? between(found.low99, found.high99) : between(found.low90, found.high90);
    const figures = say(clear ? "bench_page.ratio_clear" : "bench_page.ratio_likely", {
      ratio: ratioLabel(found),
      interval,
      changed: count("donning", found.wearers[0]?.n_b ?? 0),
      sold: found.wearers[0]?.n_a ?? 0,
    });
    return [
      html("p", {}, html("strong", {}, label), say("bench_page.colon"), html("span", { class: `sb-bench__verdict sb-bench__verdict--${found.verdict}` }, verdictWords(found))),
      html("p", {}, found.ratio === null ? say("bench_page.no_ratio") : figures),
      ...(worth ? [html("p", { class: "sb-muted" }, worthSentence(worth, found, label))] : []),
    ];
  }

  parts(/** @type {State} */ { setUp }, /** @type {Told} */ { verdicts, partOf }) {
    const found = verdicts.parts;
    if (!found) return [];
    const name = (/** @type {string} */ token) => {
      const part = partOf(token);
      return part ? this.known.labels.part(setUp, part.slot, part.part) : token;
    };
    const rows = found.effects.map(({ part, against, effect, aliases }) => {
      const label = against ? say("part.against", { part: name(part), other: name(against) }) : name(part);
      const beside = found.conditional.filter((one) => one.part === part).map((one) =>
        say("part.beside", { apart: times(one.apart.ratio), other: name(one.other), together: times(one.together.ratio) }),
      );
      const others = aliases.map(name).join(say("label.and")) || say("part.other_parts");
      const remark = effect ? beside.join("; ") : say("part.cannot_tell", { others });
      return html(
        "tr",
        {},
        html("th", { scope: "row" }, label),
        html("td", { class: "sb-num" }, times(effect?.ratio ?? null)),
        html("td", {}, effect ? between(effect.low95, effect.high95) : "–"),
        html("td", {}, remark),
      );
    });
    const head = [say("bench_page.part"), say("head.ratio"), say("bench_page.interval95"), say("bench_page.remark")];
    const configurations = count("configuration", found.configurations.length);
    const combinations = say(found.complete ? "part.every_combination" : "part.some_combinations");
    const left = found.leftOut.length;
    const tried = left
      ? say("part.tried_but", { configurations, combinations, left_out: left })
      : say("part.tried", { configurations, combinations });
    return [
      html("h3", {}, say("bench_page.which_part")),
      html("p", {}, say("bench_page.which_part_about", { tried })),
      html(
        "div",
        { class: "sb-table", tabindex: 0, role: "region", "aria-label": say("bench_page.which_part") },
        html(
          "table",
          { class: "sb-figures" },
          html("thead", {}, html("tr", {}, ...head.map((text, place) => html("th", { scope: "col", ...(place === 1 ? { class: "sb-num" } : {}) }, text)))),
          html("tbody", {}, ...rows),
        ),
      ),
    ];
  }
}
