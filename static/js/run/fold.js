// A run: the state that its event log folds to. The mirror of server/domain/runs/run.py; both are held
// to tests/run_cases.json. Plain values in, plain values out: no clock, no storage, no page.

import { chains, counted, OUT_OF_TIME } from "./holding.js";
import { REMARKS, Remarks } from "./remarks.js";

const UNDOABLE = new Set(["done", "ready", "incident", "finish", "abandon"]);
const RETRACTABLE = new Set([...UNDOABLE, ...REMARKS, "note"]);

// A day: no split of a run lasts longer, and no sleep of a device within it.
const LONGEST_MS = 86_400_000;

// What those who watch may record, with the run's time as they saw it.
const WATCHED = new Set([...REMARKS, "incident", "note", "retract"]);
/** Whether an event comes from one who watches the run, not from a device that holds its clock. */
export const isWatched = (event) => event.at_ms != null && WATCHED.has(event.kind);

/** The events in the order of the log, each id once. */
export function inOrder(events) {
  const byId = new Map();
  for (const event of events) byId.set(event.id, event);
  return [...byId.values()].sort((a, b) => a.seq - b.seq || (a.id < b.id ? -1 : 1));
}

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

/** Event id -> ms elapsed since the start of the run, for each event from the start on. */
export function elapsedTimes(log) {
  const chains = readClocks(log);
  const times = new Map(chains.flatMap((chain) => [...chain.times]));
  // What watchers recorded stands where they saw it: their clocks say nothing of the run's.
  if (chains.length > 0) for (const event of log.filter(isWatched)) times.set(event.id, event.at_ms);
  return times;
}

/**
 * Ms elapsed at the reading `monoMs` of the even clock of the page load `bootId`; null when the
 * run has not started or nothing in the log ties that page load to it.
 */
export function elapsedNow(log, bootId, monoMs) {
  const tied = readClocks(log).find(({ anchors }) => anchors.has(bootId));
  if (!tied) return null;
  const anchor = tied.anchors.get(bootId);
  return Math.max(anchor.baseMs + (monoMs - anchor.monoMs), tied.latestMs);
}

function readClocks(log) {
  const told = log.filter((event) => !isWatched(event));
  const first = told.findIndex((event) => event.kind === "start");
  if (first < 0) return [];
  return chains(told.slice(first)).map((chain) => readChain(told[first], chain));
}

// The page load that started the run goes by its even clock. A later one is tied to the run by the
// wall clock at its first event, corrected by the steps that were noticed, or by the moment that
// event names itself.
function readChain(start, chain) {
  const times = new Map();
  const anchors = new Map();
  if (chain.includes(start)) anchors.set(start.boot_id, { monoMs: start.mono_ms, baseMs: 0 });
  let wallShiftMs = 0;
  let latestMs = 0;
  for (const event of chain) {
    const stepMs = event.kind === "clock_step" ? (event.step_ms ?? 0) : 0;
    if (event.cause === "set") wallShiftMs += stepMs;
    const known = anchors.get(event.boot_id);
    const tie = (baseMs) => ({ monoMs: event.mono_ms, baseMs: Math.max(baseMs, latestMs) });
    if ((event.kind === "hold" || event.kind === "resume") && event.at_ms != null) {
      anchors.set(event.boot_id, tie(event.at_ms));
    } else if (!known) {
      anchors.set(event.boot_id, tie(event.wall_ms - start.wall_ms - wallShiftMs));
    } else if (event.cause === "sleep" && Math.abs(stepMs) <= LONGEST_MS) {
      // A jump of more than a day is no rest within a run: the even clock goes on.
      anchors.set(event.boot_id, { monoMs: known.monoMs, baseMs: known.baseMs + stepMs });
    }
    const { monoMs, baseMs } = anchors.get(event.boot_id);
    times.set(event.id, Math.max(baseMs + (event.mono_ms - monoMs), latestMs));
    // What is written days later and on another device holds nothing back.
    if (!OUT_OF_TIME.has(event.kind)) latestMs = times.get(event.id);
  }
  return { times, anchors, latestMs };
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
    const dueMs = before === undefined || this.#status === "waiting" ? null : this.#start(before);
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
