// Which keys mean something at a moment of the run: any other is left to the browser. Pure.

// Shortly after the finish a pedal may still take it back; later the same key turns a page.
const KEY_UNDO_MS = 10_000;

/** Whether an action of a key means something, with `open` choices and perhaps a count-in. */
export function means(action, run, { open, isCounting }) {
  const { status } = run.state;
  if (!run.holds) return false;
  if (isCounting) return ["next", "undo", "close"].includes(action);
  if (action === "next") return status === "waiting" || status === "running";
  if (action === "undo") return status === "running" || isJustClosed(run);
  if (status !== "running") return false;
  if (action.startsWith("choice")) return open === "incident";
  return action !== "close" || open !== null;
}

function isJustClosed({ state, elapsedMs }) {
  const { total_ms: totalMs, undo_id: undoId } = state;
  return undoId !== null && totalMs !== null && elapsedMs - totalMs < KEY_UNDO_MS;
}
