// A run: the state that its event log folds to. The mirror of server/domain/runs/run.py; both are held
// to tests/run_cases.json. Plain values in, plain values out: no clock, no storage, no page.

import { counted } from "./holding.js";
import { REMARKS, Remarks } from "./remarks.js";
import { elapsedTimes, inOrder, isWatched } from "./times.js";

const UNDOABLE = new Set(["done", "ready", "incident", "finish", "abandon"]);
const RETRACTABLE = new Set([...UNDOABLE, ...REMARKS, "note"]);

// A day: no split of a run lasts longer.
const LONGEST_MS = 86_400_000;

/** The state of the run after `events`, given in any order and as often as you like. */
export function fold(events, outline) {
  const log = inOrder(events);
  const times = elapsedTimes(log);
  const marked = counted(log.filter((event) => !isWatched(event)), times);
  const watched = log.filter(isWatched);
  // Nobody takes back what somebody else recorded: the watchers neither the presenter's marks, nor
  // the presenter's undo theirs.
  const retracts = [...marked, ...watched].filter((event) => event.kind === "retract");
  const retracted = (event) =>
    RETRACTABLE.has(event.kind) &&
    retracts.some((each) => each.target_id === event.id && isWatched(each) === isWatched(event));
  const marks = new Marks(outline);
  for (const event of inTurn(marked, watched)) {
    if (times.has(event.id) && !retracted(event)) marks.take(event, wholeMs(times.get(event.id)));
  }
  return marks.state();
}

// What was marked, then what watchers saw, then what was written about either.
function inTurn(marked, watched) {
  const seen = [...watched].sort(
    (a, b) => a.at_ms - b.at_ms || a.seq - b.seq || (a.id < b.id ? -1 : 1),
  );
  const isAbout = (event) => event.kind === "note" && event.target_id != null;
  return [...marked.filter((event) => !isAbout(event)), ...seen, ...marked.filter(isAbout)];
}

function wholeMs(ms) {
  return Math.floor(ms + 0.5);
}

/** What has been marked so far while the log is read in order. */
class Marks {
  #outline;
  #index;
  #ends;
  #ready = new Map();
  #incidents = new Map();
  #notes = [];
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
      this.#note(event, atMs);
    } else if (REMARKS.has(event.kind)) {
      this.#remarks.take(event, atMs);
    } else if (isWatched(event)) {
      this.#incident(event, atMs);
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
        return this.#incident(event, atMs);
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

  #incident(event, atMs) {
    if (event.what == null) return false;
    this.#incidents.set(event.id, {
      id: event.id,
      what: event.what,
      elapsed_ms: atMs,
      segment_id: event.segment_id ?? null,
      text: event.text ?? "",
      who: event.who ?? "",
    });
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

  #note(event, atMs) {
    const text = event.text ?? "";
    const about = this.#incidents.get(event.target_id);
    if (about) {
      this.#incidents.set(about.id, { ...about, text });
    } else {
      this.#notes.push({
        id: event.id,
        elapsed_ms: atMs,
        segment_id: event.segment_id ?? null,
        text,
        who: event.who ?? "",
      });
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
      incidents: [...this.#incidents.values()].sort((a, b) => a.elapsed_ms - b.elapsed_ms),
      notes: this.#notes,
      claims: this.#remarks.claims(),
      calls: this.#remarks.calls(),
      scores: this.#remarks.scores(),
      total_ms: this.#totalMs,
      undo_id: this.#undoId,
    };
  }
}
