// One picture of the answer, to keep or to pass on.
import { svg } from "../common/elements.js";
import { say } from "../common/say.js";
import { wrapped } from "../common/wrapped.js";
import { inWords, ofTen } from "./face-words.js";
import { paintedFaces } from "./ten-faces.js";

const WIDTH = 640;
const SIDE = 24;
const ROW = 78;
const LINE_HEIGHT = 17;
const CHARACTER_WIDTH = 6.4; // of the small text, at most on average

/**
 * Draws what to try first. Colours are the site's names for them.
 * @param {import("./own-advice.js").Advice} advice
 * @param {{face: string, name: string, newest: string, invented: boolean}} about the face in words, "" to leave it out
 */
export function answerPicture({ first, told }, { face, name, newest, invented }) {
  const last = first.at(-1)?.cumulative_chance ?? null;
  const lines = [
    ...(last === null ? [] : [say("face.picture_one", { tried: first.length, odds: inWords(last) })]),
    ...(first.some(({ changed }) => changed) ? [say("face.changed_too")] : []),
    ...(first.some(({ medical }) => medical) ? [say("harm.medical_short")] : []),
    ...(told?.length ? [say("face.picture_told", { told: told.join(", ") })] : []),
    say("compare.caution", { name, newest }),
    ...(invented ? [say("compare.invented")] : []),
  ].flatMap((text) => wrapped(text, Math.floor((WIDTH - 2 * SIDE) / CHARACTER_WIDTH)));
  const top = face ? 84 : 62;
  const below = top + first.length * ROW;
  const height = below + lines.length * LINE_HEIGHT + 20;
  return svg(
    "svg",
    { viewBox: `0 0 ${WIDTH} ${height}`, width: WIDTH, height, fill: "var(--sb-ink)", "font-size": 15 },
    svg("rect", { width: WIDTH, height, fill: "var(--sb-paper)" }),
    svg("rect", { width: 6, height, fill: "var(--sb-brand)" }),
    svg("text", { x: SIDE, y: 38, "font-size": 22, "font-weight": 600 }, say("face.picture_title")),
    ...(face ? [svg("text", { x: SIDE, y: 62, fill: "var(--sb-muted)" }, face)] : []),
    ...first.map((row, place) => rowOf(row, place, top + place * ROW)),
    ...lines.map((text, n) =>
      svg("text", { x: SIDE, y: below + 10 + n * LINE_HEIGHT, "font-size": 12.5, fill: "var(--sb-muted)" }, text),
    ),
  );
}

function rowOf(/** @type {import("./own-advice.js").Row} */ row, /** @type {number} */ place, /** @type {number} */ y) {
  const name = svg("text", { x: SIDE, y: y + 18, "font-weight": 600, "font-size": 16 }, `${place + 1}. ${row.label}`);
  if (row.chance === null) return svg("g", {}, name);
  if (row.little_known) {
    return svg("g", {}, name, svg("text", { x: SIDE, y: y + 45, fill: "var(--sb-muted)" }, say("chance.little_known")));
  }
  const said = svg("text", { x: SIDE + 234, y: y + 45 }, ofTen(row.chance));
  return svg("g", {}, name, paintedFaces(row.chance, SIDE - 3, y + 30), said);
}
