// How long a run takes, as the run sheet has it.
import { say } from "../common/say.js";
import { changes } from "../statistics/run-order.js";
import { LEVELS } from "../words/levels.js";

/** @typedef {import("./evening.js").Line} Line */

/**
 * "2 h 5 min"; without the exercises where the protocol does not say how long they take.
 * @param {Line[]} lines
 * @param {Published.Timing | undefined} timing
 */
export function runLength(lines, timing) {
  const slots = [...new Set(lines.flatMap(({ worn }) => Object.keys(worn)))];
  const parts = (/** @type {Line} */ { worn }) => slots.map((slot) => worn[slot] ?? "");
  const steps = lines.reduce((sum, line, place) => {
    const before = lines[place - 1];
    return before?.specimen === line.specimen ? sum + changes(parts(before), parts(line)) : sum;
  }, 0);
  const each = LEVELS.wearing_minutes + sampledSeconds(timing) / 60;
  return hours(Math.round(lines.length * each + steps * LEVELS.change_minutes));
}

/** How long a protocol samples, ambient air included; 0 where it does not say. */
function sampledSeconds(/** @type {Published.Timing | undefined} */ timing) {
  if (!timing) return 0;
  const between = timing.ambient_between ? timing.ambient_start * (timing.steps.length - 1) : 0;
  const exercises = timing.steps.reduce((sum, { seconds }) => sum + seconds, 0);
  return timing.ambient_start + exercises + between + timing.ambient_end;
}

function hours(/** @type {number} */ minutes) {
  const [whole, rest] = [Math.floor(minutes / 60), minutes % 60];
  const said = whole ? [say("plan.hours", { hours: whole })] : [];
  if (rest || !whole) said.push(say("plan.minutes", { minutes: rest }));
  return said.join(" ");
}
