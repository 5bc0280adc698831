// The buttons of the bench page.
import { html } from "../common/elements.js";

/**
 * @param {string} label
 * @param {() => void} act
 * @param {string} [hidden] what only a screen reader adds, to tell it from others of the same words
 */
export function button(label, act, hidden = "") {
  const more = hidden ? html("span", { class: "sb-hidden" }, ` ${hidden}`) : null;
  const element = html("button", { type: "button" }, label, more);
  element.addEventListener("click", act);
  return element;
}

/**
 * The one that leads on: large enough for a thumb.
 * @param {string} label
 * @param {() => void} act
 */
export function mainButton(label, act) {
  const element = button(label, act);
  element.classList.add("sb-bench__main");
  return element;
}

/**
 * The one that a form ends with.
 * @param {string} label
 * @param {string} form its id
 */
export function submitButton(label, form) {
  return html("button", { type: "submit", class: "sb-bench__main", form }, label);
}
