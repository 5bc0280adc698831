// A wearer who is known has a face that is known.
import { textOf } from "./names.js";

export class KnownFaces {
  /**
   * @param {import("./form.js").Form} form
   * @param {Published.Form} known
   */
  constructor(form, known) {
    this.form = form;
    this.known = known;
    this.wearer = "";
  }

  /** Notes who the form was filled in for. */
  begin() {
    this.wearer = textOf(this.form.answers(), "test.face.wearer");
  }

  /** After an answer is complete: fills in the face of the wearer, or empties that of another one. */
  settle(/** @type {string} */ name) {
    if (name !== "test.face.wearer") return;
    const wearer = textOf(this.form.answers(), name).trim();
    const face = this.of(wearer) ?? (this.of(this.wearer) ? {} : null);
    if (face && wearer !== this.wearer) this.fill(face);
    this.wearer = wearer;
  }

  of(/** @type {string} */ wearer) {
    return (Object.hasOwn(this.known.wearers, wearer) && this.known.wearers[wearer]) || null;
  }

  fill(/** @type {Published.KnownFace} */ { length_mm, width_mm, cell, nose_bridge }) {
    const known = length_mm ? "mm" : cell ? "cell" : "";
    const face = { length_mm, width_mm, cell: known === "cell" ? cell : "", nose_bridge };
    for (const [key, value = ""] of Object.entries(face)) this.form.control(`test.face.${key}`).value = String(value);
    this.form.control("face.known").value = known;
  }
}
