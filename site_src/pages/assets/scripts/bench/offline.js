// Keeps the page working without network, and says which build and which data it works with.
import { html, withDays } from "../common/elements.js";
import { say } from "../common/say.js";
import { button } from "./buttons.js";

/**
 * A line that says what data the page has, whether it works without network, and offers a newer build once it is here.
 * @param {Published.Bench} bench
 * @returns {HTMLElement}
 */
export function offlineLine({ newest, digest }) {
  const state = html("span", { role: "status" });
  const line = html("p", { class: "sb-muted sb-bench__data" }, ...withDays(say("bench_page.data", { newest, digest })), state);
  const ready = () => {
    state.textContent = say("bench_page.offline_ready");
  };
  watch(ready, (use) => state.replaceChildren(say("bench_page.newer"), " ", button(say("bench_page.use_newer"), use))).catch(() => {
    state.textContent = say("bench_page.offline_not");
  });
  return line;
}

/**
 * @param {() => void} ready
 * @param {(use: () => void) => void} newer
 */
async function watch(ready, newer) {
  const { serviceWorker: workers } = navigator;
  if (!workers) throw new Error("the browser keeps no pages");
  const controlled = workers.controller !== null;
  let used = false;
  const use = (/** @type {ServiceWorker} */ waiting) => {
    used = true;
    waiting.postMessage("use");
  };
  // The first build to take over is the one that the page was loaded from.
  workers.addEventListener("controllerchange", () => {
    if (controlled || used) location.reload();
    else ready();
  });
  const registration = await workers.register("worker.js", { updateViaCache: "none" });
  // What was published since the last visit is used from the start: nothing is being typed yet.
  if (registration.waiting && controlled) {
    use(registration.waiting);
    return;
  }
  let offered = false;
  const follow = (/** @type {ServiceWorker | null} */ coming) => {
    coming?.addEventListener("statechange", () => {
      if (coming.state !== "installed" || !registration.active) return;
      offered = true;
      newer(() => use(coming));
    });
  };
  follow(registration.installing);
  registration.addEventListener("updatefound", () => follow(registration.installing));
  await workers.ready;
  if (!offered) ready();
}
