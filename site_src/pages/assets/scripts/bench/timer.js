// A clock for one donning: how long to wear the mask, to sample room air, to purge and to do each exercise. Each change is
// shown in large words and counted down, and may be felt or heard as well.
import { html } from "../common/elements.js";
import { say } from "../common/say.js";
import { LEVELS } from "../words/levels.js";
import { button } from "./buttons.js";

const TICK_MS = 200;
/** How long the change of a step stands out, in ms. */
const SIGN_MS = 1500;
const TONE_HZ = 660;
const TONE_S = 0.25;

/** @typedef {{words: string, seconds: number}} Step */

/**
 * The steps of a protocol by its published times, the hose purged at each switch.
 * @param {Published.Timing | undefined} timing
 * @param {number} purge seconds; 0 for none
 * @param {(exercise: string) => string} named
 * @returns {Step[]}
 */
export function timerSteps(timing, purge, named) {
  const worn = { words: say("bench_page.wear_it"), seconds: 60 * LEVELS.wearing_minutes };
  if (!timing) return [worn];
  const air = (/** @type {number} */ seconds) => ({ words: say("bench_page.phase_ambient"), seconds });
  const purged = purge ? [{ words: say("bench_page.phase_purge"), seconds: purge }] : [];
  const last = timing.steps.length - 1;
  const exercises = timing.steps.flatMap(({ exercise, seconds }, place) => [
    ...(place === 0 || timing.ambient_between ? purged : []),
    { words: named(exercise), seconds },
    ...(timing.ambient_between && place < last ? [...purged, air(timing.ambient_start)] : []),
  ]);
  return [worn, air(timing.ambient_start), ...exercises, ...purged, air(timing.ambient_end)];
}

export class Timer {
  /** @param {Step[]} steps */
  constructor(steps) {
    this.steps = steps;
    this.place = 0;
    /** When the present step ends, ms since 1970; 0 while the clock stands. */
    this.end = 0;
    /** Milliseconds that are left of a step while the clock stands. */
    this.left = 0;
    this.ticking = 0;
    this.words = html("p", { class: "sb-bench__step", "aria-live": "assertive" });
    this.seconds = html("p", { class: "sb-bench__seconds" });
    this.bar = html("progress", { "aria-label": say("bench_page.timer_progress") });
    this.coming = html("p", { class: "sb-muted sb-bench__coming" });
    this.tone = html("input", { type: "checkbox", id: "bench-tone" });
    this.begin = button(say("bench_page.timer_start"), () => (this.end ? this.stand() : this.go()));
    this.element = html(
      "details",
      { class: "sb-more sb-bench__timer" },
      html("summary", {}, say("bench_page.timer")),
      html("div", { class: "sb-bench__clock" }, this.words, this.seconds, this.bar, this.coming),
      html(
        "p",
        { class: "sb-bench__buttons" },
        this.begin,
        button(say("bench_page.timer_skip"), () => this.step(this.place + 1)),
        button(say("bench_page.timer_anew"), () => this.reset()),
        html("label", { class: "sb-bench__tone", for: "bench-tone" }, this.tone, say("bench_page.timer_tone")),
      ),
    );
    this.reset();
  }

  /** The length of a step in ms. */
  length() {
    return 1000 * (this.steps[this.place]?.seconds ?? 0);
  }

  reset() {
    this.pause();
    this.place = 0;
    this.left = this.length();
    this.draw();
  }

  go() {
    if (this.place >= this.steps.length) this.reset();
    this.end = Date.now() + this.left;
    this.begin.textContent = say("bench_page.timer_stand");
    this.ticking = setInterval(() => this.tick(), TICK_MS);
    this.keepAwake();
    this.draw();
  }

  /** Stands still, to go on later. */
  stand() {
    this.left = Math.max(0, this.end - Date.now());
    this.pause();
    this.draw();
  }

  pause() {
    clearInterval(this.ticking);
    this.end = 0;
    this.begin.textContent = say("bench_page.timer_start");
    this.awake?.then((lock) => lock?.release());
    this.awake = undefined;
  }

  tick() {
    if (!this.element.isConnected) {
      this.pause();
      return;
    }
    // The clock is the system's: a page in the background is woken late, and must not fall behind.
    while (this.end && Date.now() >= this.end) {
      const late = Date.now() - this.end;
      this.step(this.place + 1, late);
    }
    this.draw();
  }

  /**
   * @param {number} place
   * @param {number} late ms since it was due
   */
  step(place, late = 0) {
    const going = this.end !== 0;
    this.place = Math.min(place, this.steps.length);
    this.left = this.length();
    if (this.place >= this.steps.length) this.pause();
    else if (going) this.end = Date.now() - late + this.left;
    this.sign();
    this.draw();
  }

  /** Makes a change of step felt: to the eye, to the hand, and to the ear of whoever wants it. */
  sign() {
    this.element.classList.add("sb-bench__timer--changed");
    setTimeout(() => this.element.classList.remove("sb-bench__timer--changed"), SIGN_MS);
    navigator.vibrate?.(300);
    if (this.tone.checked) sound();
  }

  draw() {
    const step = this.steps[this.place];
    const left = this.end ? Math.max(0, this.end - Date.now()) : this.left;
    const words = step ? step.words : say("bench_page.timer_done");
    if (this.words.textContent !== words) this.words.textContent = words;
    this.seconds.textContent = step ? clock(Math.ceil(left / 1000)) : "";
    const before = this.steps.slice(0, this.place).reduce((sum, { seconds }) => sum + seconds, 0);
    this.bar.max = this.steps.reduce((sum, { seconds }) => sum + seconds, 0);
    this.bar.value = step ? before + step.seconds - left / 1000 : this.bar.max;
    const next = this.steps[this.place + 1];
    this.coming.textContent = next ? say("bench_page.timer_then", { words: next.words }) : "";
  }

  /** Keeps the screen on while the clock goes, where the browser can. */
  keepAwake() {
    this.awake = navigator.wakeLock?.request("screen").catch(() => null);
  }

  /** @type {Promise<WakeLockSentinel | null> | undefined} */
  awake;
}

/** "4:05", "12". */
function clock(/** @type {number} */ seconds) {
  if (seconds < 60) return String(seconds);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

function sound() {
  const context = new AudioContext();
  const tone = new OscillatorNode(context, { frequency: TONE_HZ });
  tone.connect(new GainNode(context, { gain: 0.3 })).connect(context.destination);
  tone.start();
  tone.stop(context.currentTime + TONE_S);
  tone.onended = () => context.close();
}
