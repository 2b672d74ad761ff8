// The ways on from a run that is over.
//
// "Rehearse again": by the server, which knows the latest plan; while it is away, by the plan of
// this page, where the browser keeps the page. "Look at this run": that page is the server's, so
// what was just said of the run goes there first.

import { after } from "../run/after.js";
import { answerTo } from "../run/answer.js";
import { addressOfNewRun } from "../run/run_data.js";

const ANSWER_WITHIN_MS = 1500;
const SEND_WITHIN_MS = 1500;
const LOOK_EVERY_MS = 50;

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

/** Connects the link; where the server takes too long, its page opens with what it has. */
export function connectLookAtRun(link, journal, { try_out: isTryOut }) {
  link.addEventListener("click", async (event) => {
    if (isTryOut || journal.pending.length === 0 || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const until = performance.now() + SEND_WITHIN_MS;
    while (journal.pending.length > 0 && performance.now() < until) await after(LOOK_EVERY_MS);
    location.href = link.href;
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
