// Which mark a press of the stage makes, { kind, fields, at }; null where it means none. Pure.
// `at` is a reading of both clocks, null for that of the press.

import { dueAdvance } from "../run/auto_advance.js";
import { earlier } from "../run/clock.js";
import { runningView } from "../run/view_state.js";

/** Next of a run under way: the end of the segment, or of the run. */
export function nextMark({ segments }, { status, current }) {
  if (status !== "running") return null;
  const isLast = current === null || current === segments.length - 1;
  return isLast ? mark("finish") : mark("done", { segment_id: segments[current].id });
}

/** The end, at its time, of a segment that goes on by itself. */
export function ownMark({ segments }, run, events) {
  const { state, elapsedMs } = run;
  const due = dueAdvance(segments, state, elapsedMs, events);
  if (due === null) return null;
  const at = earlier(run.reading(), elapsedMs - due.at_ms);
  return mark("done", { segment_id: due.segment_id, cause: "plan" }, at);
}

/** What takes back the last mark. */
export function undoMark({ undo_id: undoId }) {
  return undoId === null ? null : mark("retract", { target_id: undoId });
}

/** A process that is ready: the one that was touched, else the first that can be. */
export function readyMark(data, state, elapsedMs, processId) {
  const open = runningView(data, state, elapsedMs, null).processes;
  const id = processId ?? open.find((view) => view.canBeReady)?.id;
  return id ? mark("ready", { process_id: id }) : null;
}

/** The segments that a run can skip to: [{ id, name, endedId }], those past the next one first. */
export function skipsOf(segments, run) {
  if (run.status !== "running" || run.current === null) return [];
  return segments.slice(run.current + 1).map((segment, index) => ({
    id: segment.id,
    name: segment.name,
    // Marking the end of the one before passes over all others, whose length nobody measured.
    endedId: segments[run.current + index].id,
  }));
}

/** The end of the segment before the one that is skipped to. */
export function skipMark({ segments }, state, segmentId) {
  const skip = skipsOf(segments, state).find(({ id }) => id === segmentId);
  return skip ? mark("done", { segment_id: skip.endedId }) : null;
}

/** Something that went wrong, in the segment under way. */
export function incidentMark({ segments }, { status, current }, what) {
  if (status !== "running") return null;
  const segment = current === null ? {} : { segment_id: segments[current].id };
  return mark("incident", { what, ...segment });
}

function mark(kind, fields = {}, at = null) {
  return { kind, fields, at };
}
