// The finished files: their text, and buttons that copy it, save it or take it to the repository.
import { html, say } from "../common/elements.js";
import { plural } from "../common/figures.js";
import { save } from "../common/picture.js";

// Common practice, no published source: servers refuse addresses beyond about 8,000 characters.
const LONGEST_ADDRESS = 6000;

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
    this.shown = [];
    place.append(this.state, this.note, this.list);
  }

  /** @param {import("./entries.js").Outcome} outcome */
  show({ files, problems }) {
    const ready = problems.size === 0;
    const text = ready ? `Ready: ${plural(files.length, "file")}.` : "Not ready yet: something is missing or wrong.";
    if (this.state.textContent !== text) say(this.state, text);
    this.state.classList.toggle("sb-contribute__state--ready", ready);
    // Elements stay in place: a button that is pressed while a field loses the focus must not be replaced.
    while (this.shown.length < files.length) this.add();
    for (const [place, shown] of this.shown.entries()) {
      const file = files[place];
      shown.element.hidden = !file;
      if (!file) continue;
      Object.assign(shown, file);
      if (shown.name.textContent !== file.path) shown.name.textContent = file.path;
      if (shown.code.textContent !== file.text) shown.code.textContent = file.text;
      shown.link.hidden = !(ready && this.repository);
      shown.link.href = this.address(file);
    }
    say(this.note, "");
  }

  add() {
    const shown = {
      path: "",
      text: "",
      name: html("code"),
      code: html("code"),
      link: html("a", {}, "Open the repository's new-file page"),
    };
    const id = `sb-file-${this.shown.length}`;
    const pre = html("pre", { tabindex: 0, role: "group", "aria-labelledby": id }, shown.code);
    const copy = html("button", { type: "button" }, "Copy");
    const download = html("button", { type: "button" }, "Download");
    copy.addEventListener("click", () => this.allowed() && this.copy(shown));
    download.addEventListener("click", () => this.allowed() && this.download(shown));
    const buttons = html("p", { class: "sb-file__buttons" }, copy, download, shown.link);
    shown.element = html("section", { class: "sb-file" }, html("h3", { id }, shown.name), pre, buttons);
    this.list.append(shown.element);
    this.shown.push(shown);
  }

  /** The page for a new file, filled in where the text is short enough for an address. */
  address({ path, text }) {
    const empty = `${this.repository}/new/main?filename=${encodeURIComponent(path)}`;
    const full = `${empty}&value=${encodeURIComponent(text)}`;
    return full.length <= LONGEST_ADDRESS ? full : empty;
  }

  async copy({ path, text, code }) {
    try {
      await navigator.clipboard.writeText(text);
      say(this.note, `Copied. Save it as ${path}.`);
    } catch {
      getSelection().selectAllChildren(code);
      say(this.note, "The browser does not let this page copy. The text is selected: copy it with the keyboard.");
    }
  }

  download({ path, text }) {
    save(new Blob([text], { type: "application/toml" }), path.split("/").at(-1));
    say(this.note, `Saved. It belongs at ${path}.`);
  }
}
