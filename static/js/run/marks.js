// What the marks of a run say: segments that ended, processes that were ready, start and end. The
// mirror of the same in server/domain/runs/run.py.

import { Noted } from "./noted.js";
import { REMARKS, Remarks } from "./remarks.js";
import { LONGEST_MS, isWatched } from "./times.js";

/** What has been marked so far while the log is read in order. */
export class Marks {
  #outline;
  #index;
  #ends;
  #ready = new Map();
  #noted = new Noted();
  #status = "waiting";
  #startedWallMs = null;
  #isHeard = false;
  #totalMs = null;
  #undoId = null;
  #remarks = new Remarks();

  constructor(outline) {
    this.#outline = outline;
    this.#index = new Map(outline.segment_ids.map((id, index) => [id, index]));
    this.#ends = outline.segment_ids.map(() => null);
  }

  take(event, atMs) {
    if (event.kind === "start" && this.#status === "waiting") {
      this.#status = "running";
      this.#startedWallMs = event.wall_ms;
      this.#isHeard = event.cause === "heard";
    } else if (event.kind === "note") {
      this.#noted.note(event, atMs);
    } else if (REMARKS.has(event.kind)) {
      this.#remarks.take(event, atMs);
    } else if (isWatched(event)) {
      this.#noted.incident(event, atMs);
    } else if (this.#status === "running" && this.#mark(event, atMs)) {
      this.#undoId = event.id;
    }
  }

  // Takes a mark of a running run; false where it says nothing new.
  #mark(event, atMs) {
    switch (event.kind) {
      case "done":
        return this.#done(event.segment_id, atMs);
      case "ready":
        return this.#isReady(event.process_id, atMs);
      case "incident":
        return this.#noted.incident(event, atMs);
      case "finish":
      case "abandon":
        this.#close(event.kind === "finish", atMs);
        return true;
      default:
        return false;
    }
  }

  #done(segmentId, atMs) {
    const index = this.#index.get(segmentId);
    if (index === undefined || this.#ends[index] !== null) return false;
    this.#ends[index] = atMs;
    return true;
  }

  #isReady(processId, atMs) {
    const known = this.#outline.processes.some((link) => link.id === processId);
    if (!known || this.#ready.has(processId)) return false;
    this.#ready.set(processId, atMs);
    return true;
  }

  #close(finished, atMs) {
    this.#totalMs = atMs;
    this.#status = finished ? "finished" : "abandoned";
    const last = this.#ends.length - 1;
    if (finished && last >= 0 && this.#ends[last] === null && this.#start(last) !== null) {
      this.#ends[last] = atMs;
    }
  }

  // When segment `index` started: at the end of the one before it, if that was marked.
  #start(index) {
    return index === 0 ? 0 : this.#ends[index - 1];
  }

  #split(index) {
    const startMs = this.#start(index);
    const endMs = this.#ends[index];
    // Marks out of the plan's order do not tell how long it took.
    if (startMs === null || endMs === null || endMs < startMs) return null;
    // Nor do clocks that were a day apart or more: nobody took so long over a segment.
    return endMs - startMs > LONGEST_MS ? null : endMs - startMs;
  }

  #current() {
    if (this.#status !== "running") return null;
    const following = this.#ends.findLastIndex((endMs) => endMs !== null) + 1;
    return following < this.#ends.length ? following : null;
  }

  #process(link) {
    const after = this.#index.get(link.after_segment_id);
    const before = this.#index.get(link.before_segment_id);
    const readyMs = this.#ready.get(link.id) ?? null;
    // In a recording nobody hears that a process is ready: it is not late for that.
    const isUntold = this.#status === "waiting" || (this.#isHeard && readyMs === null);
    const dueMs = before === undefined || isUntold ? null : this.#start(before);
    return {
      process_id: link.id,
      started_ms: after === undefined ? null : this.#ends[after],
      ready_ms: readyMs,
      due_ms: dueMs,
      missed: dueMs !== null && (readyMs === null || readyMs > dueMs),
    };
  }

  state() {
    return {
      status: this.#status,
      started_wall_ms: this.#startedWallMs,
      ends_ms: [...this.#ends],
      splits_ms: this.#ends.map((_, index) => this.#split(index)),
      current: this.#current(),
      processes: this.#outline.processes.map((link) => this.#process(link)),
      incidents: this.#noted.incidents(),
      notes: this.#noted.notes(),
      claims: this.#remarks.claims(),
      calls: this.#remarks.calls(),
      scores: this.#remarks.scores(),
      total_ms: this.#totalMs,
      undo_id: this.#undoId,
    };
  }
}
