// The pulse of the run's clock, for those who watch: every other second the stage tells the server
// how far the clock is, and learns how many watch. Nothing is kept of it and nothing waits for it:
// where the server is away, this falls silent until it is back.

import { answerTo } from "./answer.js";

const BEAT_MS = 2000;
const GIVE_UP_MS = 1500;

/** Beats from now on. `elapsedMs` tells the clock, null when it does not run; `onWatching` hears. */
export function startPulse(url, elapsedMs, onWatching) {
  let busy = false;
  const beat = async () => {
    if (busy) return;
    busy = true;
    onWatching(await watching(url, elapsedMs()));
    busy = false;
  };
  beat();
  setInterval(beat, BEAT_MS);
}

// How many watch; null when the server does not say.
async function watching(url, elapsed) {
  const told = {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ elapsed_ms: elapsed }),
  };
  try {
    const response = await answerTo(url, told, GIVE_UP_MS);
    return response.ok ? (await response.json()).watching : null;
  } catch {
    return null;
  }
}
