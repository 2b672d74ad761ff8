// "Rehearse again": by the server, which knows the latest plan; while it is away, by the plan of
// this page, where the browser keeps the page.

import { answerTo } from "./answer.js";
import { addressOfNewRun } from "./run_data.js";

const ANSWER_WITHIN_MS = 1500;

/** Connects the link; what keeps the page is the service worker, which there is only over https. */
export function connectRehearseAgain(link, data) {
  link.addEventListener("click", async (event) => {
    if (!navigator.serviceWorker?.controller) return;
    event.preventDefault();
    if (await isThere(data.urls.events)) {
      location.href = link.href;
    } else {
      location.href = addressOfNewRun(data.from_run ?? data.run_id);
      location.reload(); // Only what follows the # has changed: the page must begin anew.
    }
  });
}

async function isThere(url) {
  try {
    await answerTo(url, {}, ANSWER_WITHIN_MS);
    return true;
  } catch {
    return false;
  }
}
