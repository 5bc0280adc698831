// Works comparisons out beside the page, for comparisons.js.
import { compareArms } from "../statistics/contrasts.js";

addEventListener("message", ({ data: { id, a, b, basis } }) => {
  postMessage({ id, found: compareArms(a, b, basis) });
});
