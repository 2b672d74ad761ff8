// The pulse of the run's clock, for those who watch: every other second the stage tells the server
// how far the clock is, and learns how many watch. Nothing is kept of it and nothing waits for it:
// where the server is away, this falls silent until it is back.

import { answerTo, posted } from "../run/answer.js";

const BEAT_MS = 2000;
const GIVE_UP_MS = 1500;

/** Beats from now on; `onWatching` hears how many watch. */
export function startPulse(url, run, onWatching) {
  let busy = false;
  const beat = async () => {
    if (busy) return;
    busy = true;
    onWatching(await watching(url, clockOf(run)));
    busy = false;
  };
  beat();
  setInterval(beat, BEAT_MS);
}

// What watchers are told of the clock: by the device that holds it, while it runs; else null.
function clockOf(run) {
  return run.state.status === "running" && run.holds ? run.elapsedMs : null;
}

// How many watch; null when the server does not say.
async function watching(url, elapsed) {
  try {
    const { ok, body } = await answerTo(url, posted({ elapsed_ms: elapsed }), GIVE_UP_MS);
    return ok ? body.watching : null;
  } catch {
    return null;
  }
}
