// When each event of a log happened, by the clocks that the devices told. The mirror of
// server/domain/runs/clock.py; both are held to tests/run_cases.json.

import { chains, OUT_OF_TIME } from "./holding.js";
import { REMARKS } from "./remarks.js";

// A day: no device sleeps longer within a run, and no split of one lasts longer.
export const LONGEST_MS = 86_400_000;

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
