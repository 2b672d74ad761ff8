// Marks in words: what undo would take back, and the incidents.

import { exact } from "./words.js";

/** What can go wrong, in the order of its buttons. */
export const INCIDENTS = [
  { what: "spill", words: "Spill" },
  { what: "equipment", words: "Equipment" },
  { what: "forgot_words", words: "Forgot words" },
  { what: "other", words: "Other" },
];

/** What undo would take back, in words: the last mark and its split; null when there is none. */
export function undoWords(data, run, lastMark) {
  if (!lastMark) return null;
  switch (lastMark.kind) {
    case "done":
      return splitWords(data, run, lastMark.segment_id) + (lastMark.cause === "plan" ? ", by itself" : "");
    case "ready":
      return `${nameOf(data.processes, lastMark.process_id)} ready`;
    case "incident":
      return incidentWords(lastMark.what);
    default:
      return lastMark.kind;
  }
}

function splitWords(data, run, segmentId) {
  const index = data.segments.findIndex((segment) => segment.id === segmentId);
  const splitMs = run.splits_ms[index] ?? null;
  const name = nameOf(data.segments, segmentId);
  if (splitMs === null) return `${name} done`;
  return `${name} ${exact(splitMs)}`;
}

function nameOf(parts, id) {
  return parts.find((part) => part.id === id)?.name ?? "";
}

/** An incident of a kind in words. */
export function incidentWords(what) {
  return INCIDENTS.find((incident) => incident.what === what)?.words ?? what;
}
