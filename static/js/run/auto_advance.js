// Segments that go on by themselves: those that have none of the presenter's attention end at their
// planned time without a press. Pure.

import { startOf } from "./forecast.js";

/**
 * The end that the plan, not a hand, is to mark now: { segment_id, at_ms }; null for none. The last
 * segment is always ended by hand (that is the finish), and so is one whose automatic end was taken
 * back: the presenter said "not yet".
 */
export function dueAdvance(segments, run, elapsedMs, events) {
  if (run.status !== "running" || !goesOnByItself(segments, run, events)) return null;
  const atMs = startOf(run, run.current) + segments[run.current].likely_s * 1000;
  return elapsedMs < atMs ? null : { segment_id: segments[run.current].id, at_ms: atMs };
}

/** Whether the segment under way will end by itself. */
export function goesOnByItself(segments, run, events) {
  const { current } = run;
  if (current === null || current === segments.length - 1) return false;
  return segments[current].auto_advance === true && !isHeld(segments[current].id, events);
}

function isHeld(segmentId, events) {
  const ended = new Set(
    events
      .filter(({ segment_id, cause }) => segment_id === segmentId && cause === "plan")
      .map(({ id }) => id),
  );
  return events.some(({ kind, target_id }) => kind === "retract" && ended.has(target_id));
}
