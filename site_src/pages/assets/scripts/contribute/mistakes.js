// What is wrong in a form, listed in its order, each leading to its question.
import { html } from "../common/elements.js";
import { say } from "../common/say.js";

export class Mistakes {
  /** @param {import("./form.js").Form} form */
  constructor(form) {
    this.form = form;
    /** As they are listed. */
    this.listed = "";
    this.element = html("div", {
      class: "sb-contribute__summary",
      role: "group",
      "aria-label": say("form.mistakes"),
      tabindex: -1,
      hidden: "",
    });
  }

  /** @param {Map<string, string>} problems by name of the question */
  show(problems) {
    const wrong = this.form.inOrder().filter((control) => problems.has(control.name));
    this.element.hidden = wrong.length === 0;
    const texts = wrong.map((control) => `${control.label}: ${problems.get(control.name)}`);
    // A link that is pressed while a field loses the focus must stay in place.
    if (this.element.hidden || this.listed === texts.join("\n")) return;
    this.listed = texts.join("\n");
    const items = wrong.map((control, place) => {
      const link = html("a", { href: `#field-${control.name}` }, texts[place] ?? "");
      link.addEventListener("click", (event) => {
        event.preventDefault();
        this.form.focus(control.name);
      });
      return html("li", {}, link);
    });
    this.element.replaceChildren(
      html("p", {}, html("strong", {}, say("form.before_use"))),
      html("ul", {}, ...items),
    );
  }
}
