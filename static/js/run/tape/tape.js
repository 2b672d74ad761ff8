// The tape: the slot as one long strip, to scale in seconds. Geometry only, pure; `drawing.js`
// draws it.

import { latenessMs, placed, startOf } from "../forecast.js";
import { pace, planned } from "../words.js";

// Room for the cut where the slot ends.
const MARGIN = 0.012;
const OVER_S = 15;

/**
 * What lies on the tape at `elapsedMs`, in seconds from the start of the run: blocks (segments, with
 * their number, `track` of their drink, and state done, now, ahead or unmarked), markers (calls,
 * target, slot, cut-off), how late the run is in words, whether
 * something lies beyond the slot, and where the strip ends.
 */
export function tapeOf(data, run, elapsedMs) {
  const blocks = blocksOf(data, run, elapsedMs);
  const { slot_s } = data.rules;
  const lastS = Math.max(blocks.at(-1)?.end_s ?? 0, elapsedMs / 1000, slot_s);
  return {
    blocks,
    markers: markersOf(data.rules),
    late: lateOf(data, run, elapsedMs),
    slot_s,
    isOver: lastS > slot_s,
    end_s: lastS * (1 + MARGIN) + (lastS > slot_s ? OVER_S : 0),
  };
}

/** How the run stands to its plan, { words, word, seconds }; null before the start, or on plan. */
function lateOf(data, run, elapsedMs) {
  if (run.status !== "running") return null;
  const ms = latenessMs(data.segments, run, elapsedMs);
  const { digits, word } = pace(ms);
  return word === "" ? null : { words: `${digits} ${word}`, word, seconds: Math.abs(ms) / 1000 };
}

function blocksOf({ segments, part = null }, run, elapsedMs) {
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
    return {
      id: segment.id,
      number: (part?.first ?? 1) + index,
      track: segment.track ?? null,
      state,
      start_s: startMs / 1000,
      end_s: cursorMs / 1000,
    };
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

function markersOf(rules) {
  const markers = rules.time_calls.map(({ at_s }) => ({ at_s, kind: "call", words: leftWords(rules.slot_s - at_s) }));
  markers.push({ at_s: rules.target_s, kind: "target", words: "" });
  markers.push({ at_s: rules.slot_s, kind: "slot", words: planned(rules.slot_s) });
  if (rules.cutoff_s !== null) {
    markers.push({ at_s: rules.cutoff_s, kind: "cutoff", words: planned(rules.cutoff_s) });
  }
  return markers;
}

// What a call says comes to this, in the fewest letters: "2 min", "30 s".
function leftWords(seconds) {
  if (seconds <= 0) return `+${planned(-seconds)}`;
  if (seconds < 60) return `${seconds} s`;
  return seconds % 60 === 0 ? `${seconds / 60} min` : planned(seconds);
}
