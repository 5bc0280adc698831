// The end of an evening: its files to take away, and how to open a pull request with them.
import { html, show } from "../common/elements.js";
import { save, savePng } from "../common/picture.js";
import { count, say } from "../common/say.js";
import { button } from "./buttons.js";
import { eveningPicture } from "./evening-picture.js";
import { archiveOf, filesOf, nameOfFiles, tableOf } from "./take-away.js";

/**
 * @typedef {import("./evening.js").State} State
 * @typedef {import("./told.js").Told} Told
 */

export class TakeAway {
  /**
   * @param {import("./known.js").Known} known
   * @param {string} repository address of the repository, "" for none
   */
  constructor(known, repository) {
    this.known = known;
    this.note = html("p", { class: "sb-bench__note", role: "status", hidden: "" });
    this.files = html("p");
    this.list = html("ul", { class: "sb-bench__files" });
    this.buttons = html(
      "p",
      { class: "sb-bench__buttons" },
      button(say("bench_page.archive"), () => this.saveArchive()),
      button(say("bench_page.table"), () => this.saveTable()),
      button(say("bench_page.save_picture"), () => this.savePicture()),
    );
    const upload = repository ? [html("a", { href: `${repository.replace(/\/$/, "")}/upload/main` }, say("bench_page.upload"))] : [];
    this.element = html(
      "section",
      { class: "sb-bench__away" },
      html("h2", {}, say("bench_page.take_away")),
      this.files,
      this.buttons,
      this.note,
      html("details", { class: "sb-more" }, html("summary", {}, say("bench_page.what_files")), this.list),
      html(
        "ol",
        { class: "sb-bench__how" },
        html("li", {}, say("bench_page.unpack")),
        html("li", {}, upload.length ? say("bench_page.drag") : say("bench_page.by_git"), " ", ...upload),
        html("li", {}, say("bench_page.checked")),
      ),
    );
    /** @type {State | null} */
    this.state = null;
    /** @type {Told | null} */
    this.told = null;
  }

  /**
   * @param {State} state
   * @param {Told} told
   */
  show(state, told) {
    this.state = state;
    this.told = told;
    const { readings } = told;
    this.element.hidden = readings.length === 0;
    if (!readings.length) return;
    const files = filesOf(told);
    const wrong = readings.filter(({ sound }) => !sound).length;
    const said = [say("bench_page.files", { files: count("file", files.length) })];
    if (wrong) said.push(say("bench_page.some_wrong", { takes: count("take", wrong) }));
    this.files.textContent = said.join(" ");
    this.list.replaceChildren(...files.map(({ path }) => html("li", {}, html("code", {}, path))));
    show(this.note, "");
  }

  saveArchive() {
    if (!this.state || !this.told) return;
    const name = `${nameOfFiles(this.state)}.zip`;
    save(archiveOf(this.told), name);
    show(this.note, say("bench_page.saved", { name }));
  }

  saveTable() {
    if (!this.state || !this.told) return;
    const name = `${nameOfFiles(this.state)}.csv`;
    const { text, without } = tableOf(this.told, this.known);
    save(new Blob([text], { type: "text/csv" }), name);
    const left = without ? ` ${say("bench_page.table_without", { takes: count("take", without) })}` : "";
    show(this.note, `${say("bench_page.saved", { name })} ${say("bench_page.table_use", { name })}${left}`);
  }

  /** The picture for a file: of one width for everybody, with what was found. */
  async savePicture() {
    if (!this.state || !this.told) return;
    const name = `${nameOfFiles(this.state)}.png`;
    await savePng(eveningPicture(this.state, this.told, this.known), name);
    show(this.note, say("bench_page.saved", { name }));
  }
}
