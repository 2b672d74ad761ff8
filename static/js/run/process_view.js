// What the stage shows of the parallel processes. Pure.

import { expectedStartMs } from "./forecast.js";
import { left, passed, planned } from "./words.js";

// The fallback is shown this long before the process is needed: time to reach for the reserve.
const FALLBACK_MS = 30_000;

/**
 * One entry per process that matters now:
 * { id, lane, name, stage, status, figure, due, fallback, canBeReady, bar }.
 * `lane` is where it stands for the whole run, from 1; `stage` is starts, working, likely, needed,
 * ready, late or unlinked; `figure` says until when it is needed, { digits, word, isLate }, and
 * `due` the same in one line; `bar` draws it: how far it is surely at work, where now is and where
 * it is needed, each as a part of the bar's length, null while it has not started.
 */
export function processViews(data, run, elapsedMs) {
  const lanes = lanesOf(data);
  return data.processes
    .map((process, index) => processView(data, run, elapsedMs, process, run.processes[index]))
    .map((view, index) => view && { ...view, lane: lanes[index] + 1 })
    .filter((view) => view !== null);
}

/** How many processes may be shown at once in a run of this plan. */
export function laneCount(data) {
  return Math.max(0, ...lanesOf(data).map((lane) => lane + 1));
}

// Each process has its place for the whole run, and shares it only with one that is never shown
// together with it: so none moves when another begins or ends.
function lanesOf(data) {
  const last = data.segments.length;
  const spans = data.processes.map((process) => ({
    from: indexOf(data, process.after_segment_id) ?? 0,
    to: indexOf(data, process.before_segment_id) ?? last,
  }));
  const lanes = [];
  spans.forEach((span, index) => {
    const taken = new Set(
      lanes.filter((_, other) => spans[other].from <= span.to && span.from <= spans[other].to),
    );
    let lane = 0;
    while (taken.has(lane)) lane += 1;
    lanes[index] = lane;
  });
  return lanes;
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
  const figure = figureOf(stage, data.segments[before], state, elapsedMs, untilDueMs, process);
  return {
    id: process.id,
    name: process.name,
    stage,
    status: statusWords(stage, process, state, elapsedMs),
    figure,
    due: figure && `${figure.digits} ${figure.word}`,
    fallback: stage === "needed" || soon ? process.fallback : "",
    canBeReady: stage !== "starts",
    bar: barOf(process, state, elapsedMs, untilDueMs),
  };
}

function readyView(process, state) {
  const late = state.missed ? ` · ${left(state.ready_ms - state.due_ms)} late` : "";
  return {
    id: process.id,
    name: process.name,
    stage: state.missed ? "late" : "ready",
    status: `ready at ${passed(state.ready_ms)}${late}`,
    figure: null,
    due: null,
    fallback: "",
    canBeReady: false,
    bar: null,
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
      return "needed now";
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

// Until it is needed; or by how much it is late, or will be as things stand.
function figureOf(stage, before, state, elapsedMs, untilDueMs, process) {
  if (untilDueMs === null) return null;
  const late = (ms, word) => ({ digits: passed(ms), word, isLate: true });
  if (stage === "needed") return late(elapsedMs - state.due_ms, "late");
  const until = { digits: left(untilDueMs), word: "until needed", isLate: false };
  if (state.started_ms === null) return until;
  const readyInMs = Math.max(0, state.started_ms + process.likely_s * 1000 - elapsedMs);
  const lateMs = readyInMs - untilDueMs;
  return lateMs >= 1000 ? late(lateMs, `late for ${before.name}`) : until;
}

function barOf(process, state, elapsedMs, untilDueMs) {
  if (state.started_ms === null) return null;
  const ranMs = elapsedMs - state.started_ms;
  const dueMs = untilDueMs === null ? null : ranMs + Math.max(0, untilDueMs);
  const lowMs = (process.low_s ?? process.likely_s) * 1000;
  const highMs = (process.high_s ?? process.likely_s) * 1000;
  const wholeMs = Math.max(highMs, ranMs, dueMs ?? 0, 1);
  return { sure: lowMs / wholeMs, now: ranMs / wholeMs, due: dueMs === null ? null : dueMs / wholeMs };
}

function indexOf(data, segmentId) {
  const index = data.segments.findIndex((segment) => segment.id === segmentId);
  return index < 0 ? null : index;
}
