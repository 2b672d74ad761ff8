// The tape: the slot as one long strip, to scale in seconds. Geometry only, pure; `tape_svg.js`
// draws it.

import { expectedEndMs, expectedStartMs, placed, startOf } from "./forecast.js";

/**
 * What lies on the tape at `elapsedMs`, in seconds from the start of the run:
 * blocks (segments, with state done, now, ahead or unmarked), plan (planned ends), processes,
 * markers (calls, target, slot, cut-off), and where the strip ends.
 */
export function tapeOf(data, run, elapsedMs) {
  const blocks = blocksOf(data.segments, run, elapsedMs);
  const lastBlock = blocks.length > 0 ? blocks.at(-1).end_s : 0;
  return {
    blocks,
    plan: placed(data.segments).map((place) => place.endMs / 1000),
    processes: data.processes
      .map((process, index) => barOf(data, run, elapsedMs, process, run.processes[index]))
      .filter((bar) => bar !== null),
    markers: markersOf(data.rules),
    slot_s: data.rules.slot_s,
    end_s: Math.max(lastBlock, elapsedMs / 1000, data.rules.slot_s) + 30,
  };
}

function blocksOf(segments, run, elapsedMs) {
  const plan = placed(segments);
  let cursorMs = 0;
  return segments.map((segment, index) => {
    const endMs = run.ends_ms[index];
    const startMs = startOf(run, index) ?? cursorMs;
    const lengthMs = plan[index].endMs - plan[index].startMs;
    const state = stateOf(run, index);
    cursorMs = blockEndMs(state, startMs, lengthMs, endMs, elapsedMs);
    // An unmarked piece ends before the next known end, whatever its plan says.
    if (state === "unmarked") cursorMs = Math.min(cursorMs, nextKnownEndMs(run, index));
    const { id, name, lane } = segment;
    return { id, name, lane, state, start_s: startMs / 1000, end_s: cursorMs / 1000 };
  });
}

function stateOf(run, index) {
  if (run.ends_ms[index] !== null) return "done";
  if (index === run.current) return "now";
  const passedOver = run.ends_ms.slice(index + 1).some((endMs) => endMs !== null);
  const over = run.total_ms !== null;
  return passedOver || over ? "unmarked" : "ahead";
}

function blockEndMs(state, startMs, lengthMs, endMs, elapsedMs) {
  if (state === "done") return endMs;
  return state === "now" ? Math.max(elapsedMs, startMs + lengthMs) : startMs + lengthMs;
}

function nextKnownEndMs(run, index) {
  return run.ends_ms.slice(index + 1).find((endMs) => endMs !== null) ?? Infinity;
}

function barOf(data, run, elapsedMs, process, state) {
  const after = data.segments.findIndex((segment) => segment.id === process.after_segment_id);
  if (after < 0) return null;
  const startMs = state.started_ms ?? expectedEndMs(data.segments, run, elapsedMs, after);
  const before = data.segments.findIndex((segment) => segment.id === process.before_segment_id);
  const dueMs = before < 0 ? null : expectedStartMs(data.segments, run, elapsedMs, before);
  return {
    id: process.id,
    name: process.name,
    start_s: startMs / 1000,
    low_s: startMs / 1000 + (process.low_s ?? process.likely_s),
    high_s: startMs / 1000 + (process.high_s ?? process.likely_s),
    ready_s: state.ready_ms === null ? null : state.ready_ms / 1000,
    due_s: dueMs === null ? null : dueMs / 1000,
  };
}

function markersOf(rules) {
  const markers = rules.time_calls.map((call) => ({ at_s: call.at_s, kind: "call", words: call.words }));
  markers.push({ at_s: rules.target_s, kind: "target", words: "target" });
  markers.push({ at_s: rules.slot_s, kind: "slot", words: "slot ends" });
  if (rules.cutoff_s !== null) {
    markers.push({ at_s: rules.cutoff_s, kind: "cutoff", words: "cut-off" });
  }
  return markers;
}
