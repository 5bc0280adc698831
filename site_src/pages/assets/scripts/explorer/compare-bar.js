// The bar below the explorer's table: how many configurations are chosen, and the way to compare them.
import { find } from "../common/elements.js";
import { withMethod } from "../common/method.js";
import { queryOf } from "../compare/choice.js";
import { chosenWords } from "./view-words.js";

export class CompareBar {
  /**
   * @param {HTMLElement} bar
   * @param {() => void} onUnselect
   */
  constructor(bar, onUnselect) {
    // Never hidden, so that a change of its text is read out.
    this.words = find(bar, "[role=status]", HTMLElement);
    this.ways = find(bar, ".sb-explorer__ways", HTMLElement);
    this.link = find(bar, "a", HTMLAnchorElement);
    this.address = this.link.getAttribute("href");
    find(bar, "button", HTMLElement).addEventListener("click", onUnselect);
  }

  /** Takes the keyboard to the way on. */
  focus() {
    this.link.focus();
  }

  /**
   * @param {string[]} chosen ids of configurations
   * @param {string} method that they are compared by, "" for any
   */
  show(chosen, method) {
    this.words.textContent = chosenWords(chosen.length);
    this.link.href = withMethod(this.address + queryOf(chosen), method);
    this.ways.hidden = chosen.length === 0;
  }
}
