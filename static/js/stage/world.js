// The world outside the stage: sleep, other tabs, the network, leaving.

const CLOCK_CHECK_MS = 1000;
// Calls, automatic ends and music follow a timer, not the frames: a page that is covered gets none.
const BEAT_MS = 100;

/** `onBeat` follows the clock, `onPress` hears of every press. */
export function connectWorld({ data, run, journal, sender, local, other, onBeat, onPress }) {
  const onReturn = () => {
    run.checkClocks();
    sender.kick();
  };
  setInterval(() => look(run, sender, other), CLOCK_CHECK_MS);
  setInterval(onBeat, BEAT_MS);
  for (const kind of ["keydown", "pointerup"]) addEventListener(kind, onPress, { capture: true });
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) run.noteHidden();
    else onReturn();
  });
  addEventListener("pageshow", onReturn);
  addEventListener("online", () => sender.kick());
  addEventListener("pagehide", () => {
    run.checkClocks(); // What the next page load can no longer see.
    sender.farewell();
  });
  addEventListener("beforeunload", (event) => {
    if (run.state.status === "running" && run.holds && !data.try_out) event.preventDefault();
  });
  local.onForeign(({ runId, event }) => {
    if (runId !== data.run_id) return;
    journal.takeFromTab(event);
    run.refresh();
  });
}

function look(run, sender, other) {
  run.checkClocks();
  if (run.isInDoubt) sender.look();
  other.look();
}
