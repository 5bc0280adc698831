// A drawing of the page as a file of its own: colours filled in, nothing asked of any other host.
import { colours } from "./chart.js";

/** Sharp on a screen of high resolution. */
const PNG_SCALE = 2;

/**
 * The text of an SVG file, every colour name of the site's replaced by what it is in the present theme.
 * @param {SVGSVGElement} drawing
 */
function svgText(drawing) {
  const { read, done } = colours();
  const copy = /** @type {SVGSVGElement} */ (drawing.cloneNode(true));
  copy.setAttribute("font-family", "system-ui, sans-serif");
  const text = new XMLSerializer().serializeToString(copy);
  const painted = text.replace(/"(var\(--sb-[a-z-]+\))"/g, (_, name) => `"${read(name)}"`);
  done();
  return painted;
}

/**
 * A PNG of an SVG file's text.
 * @param {string} text
 * @param {number} width
 * @param {number} height
 * @returns {Promise<Blob>}
 */
async function png(text, width, height) {
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(text)}`;
  await image.decode();
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [width * PNG_SCALE, height * PNG_SCALE];
  const context = canvas.getContext("2d");
  if (!context) throw new Error("the browser draws no pictures");
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("the browser made no picture"))), "image/png");
  });
}

/**
 * Hands a drawing to the reader as an SVG file.
 * @param {SVGSVGElement} drawing
 * @param {string} name
 */
export function saveSvg(drawing, name) {
  save(new Blob([svgText(drawing)], { type: "image/svg+xml" }), name);
}

/**
 * Hands a drawing to the reader as a PNG file.
 * @param {SVGSVGElement} drawing
 * @param {string} name
 */
export async function savePng(drawing, name) {
  const [width, height] = [drawing.width.baseVal.value, drawing.height.baseVal.value];
  save(await png(svgText(drawing), width, height), name);
}

/**
 * Hands a file to the reader.
 * @param {Blob} blob
 * @param {string} name
 */
export function save(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
