// The finished files: their text, and buttons that copy it, save it or take it to the repository.
import { html, show } from "../common/elements.js";
import { save } from "../common/picture.js";
import { count, say } from "../common/say.js";

// Common practice, no published source: servers refuse addresses beyond about 8,000 characters.
const LONGEST_ADDRESS = 6000;

/**
 * @typedef {{path: string, text: string}} File
 * @typedef {object} Shown a file on the page
 * @property {File} file
 * @property {HTMLElement} element
 * @property {HTMLElement} name
 * @property {HTMLElement} code
 * @property {HTMLAnchorElement} link
 */

export class Output {
  /**
   * @param {HTMLElement} place
   * @param {string} repository address of the repository, "" for none
   * @param {() => boolean} allowed asked before a file leaves the page
   */
  constructor(place, repository, allowed) {
    this.repository = repository;
    this.allowed = allowed;
    this.state = html("p", { class: "sb-contribute__state" });
    this.note = html("p", { class: "sb-contribute__note", role: "status", hidden: "" });
    this.list = html("div");
    /** @type {Shown[]} */
    this.shown = [];
    place.append(this.state, this.note, this.list);
  }

  /** @param {import("./entries.js").Outcome} outcome */
  show({ files, problems }) {
    const ready = problems.size === 0;
    const text = ready ? say("form.ready", { files: count("file", files.length) }) : say("form.not_ready");
    if (this.state.textContent !== text) show(this.state, text);
    this.state.classList.toggle("sb-contribute__state--ready", ready);
    // Elements stay in place: a button that is pressed while a field loses the focus must not be replaced.
    while (this.shown.length < files.length) this.add();
    for (const [place, shown] of this.shown.entries()) {
      const file = files[place];
      shown.element.hidden = !file;
      if (!file) continue;
      shown.file = file;
      if (shown.name.textContent !== file.path) shown.name.textContent = file.path;
      if (shown.code.textContent !== file.text) shown.code.textContent = file.text;
      shown.link.hidden = !(ready && this.repository);
      shown.link.href = this.address(file);
    }
    show(this.note, "");
  }

  add() {
    const [name, code, link] = [html("code"), html("code"), html("a", {}, say("form.new_file"))];
    const id = `sb-file-${this.shown.length}`;
    const pre = html("pre", { tabindex: 0, role: "group", "aria-labelledby": id }, code);
    const copy = html("button", { type: "button" }, say("form.copy"));
    const download = html("button", { type: "button" }, say("form.download"));
    const buttons = html("p", { class: "sb-file__buttons" }, copy, download, link);
    const element = html("section", { class: "sb-file" }, html("h3", { id }, name), pre, buttons);
    const shown = { file: { path: "", text: "" }, element, name, code, link };
    copy.addEventListener("click", () => this.allowed() && this.copy(shown));
    download.addEventListener("click", () => this.allowed() && this.download(shown.file));
    this.list.append(element);
    this.shown.push(shown);
  }

  /** The page for a new file, filled in where the text is short enough for an address. */
  address(/** @type {File} */ { path, text }) {
    const empty = `${this.repository}/new/main?filename=${encodeURIComponent(path)}`;
    const full = `${empty}&value=${encodeURIComponent(text)}`;
    return full.length <= LONGEST_ADDRESS ? full : empty;
  }

  async copy(/** @type {Shown} */ { file, code }) {
    try {
      await navigator.clipboard.writeText(file.text);
      show(this.note, say("form.copied", { path: file.path }));
    } catch {
      getSelection()?.selectAllChildren(code);
      show(this.note, say("form.not_copied"));
    }
  }

  download(/** @type {File} */ { path, text }) {
    save(new Blob([text], { type: "application/toml" }), path.slice(path.lastIndexOf("/") + 1));
    show(this.note, say("form.saved", { path }));
  }
}
