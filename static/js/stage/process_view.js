// What the stage shows of the parallel processes. Pure.

import { expectedStartMs } from "./forecast.js";
import { left, passed, planned } from "./words.js";

// The fallback is shown this long before the process is needed: time to reach for the reserve.
const FALLBACK_MS = 30_000;

/**
 * One entry per process that matters now:
 * { id, name, stage, status, due, fallback, canBeReady, fraction }.
 * `stage` is starts, working, likely, needed, ready, late or unlinked; `fraction` is how much of
 * its likely duration has passed.
 */
export function processViews(data, run, elapsedMs) {
  return data.processes
    .map((process, index) => processView(data, run, elapsedMs, process, run.processes[index]))
    .filter((view) => view !== null);
}

function processView(data, run, elapsedMs, process, state) {
  const before = indexOf(data, process.before_segment_id);
  const served = before !== null && run.ends_ms[before] !== null;
  if (served) return null;
  if (state.ready_ms !== null) return before === null ? null : readyView(process, state);
  const stage = stageOf(data, run, elapsedMs, process, state);
  if (stage === null) return null;
  const untilDueMs =
    before === null ? null : expectedStartMs(data.segments, run, elapsedMs, before) - elapsedMs;
  const soon = untilDueMs !== null && untilDueMs <= FALLBACK_MS;
  return {
    id: process.id,
    name: process.name,
    stage,
    status: statusWords(stage, process, state, elapsedMs),
    due: stage === "needed" ? null : dueWords(process, state, elapsedMs, untilDueMs),
    fallback: stage === "needed" || soon ? process.fallback : "",
    canBeReady: stage !== "starts",
    fraction: fractionOf(process, state, elapsedMs),
  };
}

function readyView(process, state) {
  const late = state.missed ? ` · ${left(state.ready_ms - state.due_ms)} late` : "";
  return {
    id: process.id,
    name: process.name,
    stage: state.missed ? "late" : "ready",
    status: `ready at ${passed(state.ready_ms)}${late}`,
    due: null,
    fallback: "",
    canBeReady: false,
    fraction: 1,
  };
}

function stageOf(data, run, elapsedMs, process, state) {
  if (state.due_ms !== null) return "needed";
  if (process.after_segment_id === null) return "unlinked";
  if (state.started_ms === null) {
    const startsNext = indexOf(data, process.after_segment_id) === run.current;
    return startsNext && run.current !== null ? "starts" : null;
  }
  return elapsedMs < state.started_ms + process.likely_s * 1000 ? "working" : "likely";
}

function statusWords(stage, process, state, elapsedMs) {
  switch (stage) {
    case "needed":
      return `needed now, ${passed(elapsedMs - state.due_ms)} ago`;
    case "likely":
      return "likely ready";
    case "starts":
      return `starts when this segment ends, takes ${planned(process.likely_s)}`;
    case "unlinked":
      return `takes ${planned(process.likely_s)}`;
    default:
      return `ready in ${left(state.started_ms + process.likely_s * 1000 - elapsedMs)}`;
  }
}

function dueWords(process, state, elapsedMs, untilDueMs) {
  if (untilDueMs === null) return null;
  const due = `due in ${left(untilDueMs)}`;
  if (state.started_ms === null) return due;
  const readyInMs = Math.max(0, state.started_ms + process.likely_s * 1000 - elapsedMs);
  const lateMs = readyInMs - untilDueMs;
  return lateMs >= 1000 ? `${due}, ${passed(lateMs)} too late` : due;
}

function fractionOf(process, state, elapsedMs) {
  if (state.started_ms === null || process.likely_s === 0) return 0;
  return Math.min(1, (elapsedMs - state.started_ms) / (process.likely_s * 1000));
}

function indexOf(data, segmentId) {
  const index = data.segments.findIndex((segment) => segment.id === segmentId);
  return index < 0 ? null : index;
}
