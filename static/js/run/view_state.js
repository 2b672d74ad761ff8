// Everything the stage shows of a run at one moment, as plain values. Pure:
// (data, run, elapsedMs) -> view. `paint.js` puts it on the page and decides nothing.

import { goesOnByItself } from "./auto_advance.js";
import { expectedTotalMs, latenessMs, startOf } from "./forecast.js";
import { undoWords } from "./mark_words.js";
import { laneCount, processViews } from "./process_view.js";
import { cue, leftOrOver, pace, passed, planned } from "./words.js";

// About one line where it is read from 1.5 m.
const CUE_WORDS = 10;
const AHEAD_WORDS = 8;
// The next cue comes into sight this long before its segment, by the plan of the one under way.
const AHEAD_MS = 10_000;
const CALL_SHOWN_MS = 8000;
// After this long past the slot a run left open was most likely forgotten.
const FORGOTTEN_MS = 3_600_000;

const LANES = { both: "Hands and voice", hands: "Hands only", voice: "Voice only" };

/**
 * What the stage shows at `elapsedMs` of a run under way; `lastMark` is the event undo names,
 * `events` the log, in which an automatic end may have been taken back. `mainDigits` says which
 * time has the large digits: "elapsed", or "left" in the slot.
 */
export function runningView(data, run, elapsedMs, lastMark, events = [], mainDigits = "elapsed") {
  const slot = leftOrOver(data.rules.slot_s * 1000 - elapsedMs);
  const processes = processViews(data, run, elapsedMs);
  return {
    elapsed: passed(elapsedMs),
    slot,
    ...clockView(data, passed(elapsedMs), slot, mainDigits),
    phase: phaseOf(data.rules, elapsedMs),
    pace: pace(latenessMs(data.segments, run, elapsedMs)),
    finish: planned(expectedTotalMs(data.segments, run, elapsedMs) / 1000),
    now: nowView(data, run, elapsedMs),
    next: nextView(data, run, events),
    processes,
    planB: processes.find(({ fallback }) => fallback !== "")?.fallback ?? "",
    lanes: laneCount(data),
    call: callAt(data.rules, elapsedMs),
    undo: undoWords(data, run, lastMark),
    done: `${run.ends_ms.filter((endMs) => endMs !== null).length} done`,
  };
}

/** before, target (target passed), over (slot passed), or cutoff (the rules stop the run). */
export function phaseOf(rules, elapsedMs) {
  if (rules.cutoff_s !== null && elapsedMs >= rules.cutoff_s * 1000) return "cutoff";
  if (elapsedMs > rules.slot_s * 1000) return "over";
  return elapsedMs > rules.target_s * 1000 ? "target" : "before";
}

// The large digits, and the same moment told from the other end beside them.
function clockView(data, elapsed, slot, mainDigits) {
  const whole = data.part ? "Part" : "Slot";
  return mainDigits === "left"
    ? { main: slot.digits, mainIs: slot.word, beside: { name: "Elapsed", digits: elapsed, word: "" } }
    : { main: elapsed, mainIs: "elapsed", beside: { name: whole, ...slot } };
}

function nowView(data, run, elapsedMs) {
  if (run.current === null) {
    const name = data.segments.length > 0 ? "Every segment is marked" : "A run without segments";
    const none = { id: null, place: "", about: [], left: null, segment: {}, said: "", words: "" };
    return { ...none, name, ahead: "", spoken: 0 };
  }
  const segment = data.segments[run.current];
  const startMs = startOf(run, run.current);
  const endMs = startMs + segment.likely_s * 1000;
  return {
    id: segment.id,
    place: placeOf(data, run.current),
    about: [LANES[segment.lane], segment.drink].filter(Boolean),
    name: segment.name,
    left: leftOrOver(endMs - elapsedMs),
    segment,
    said: cue(segment.said, CUE_WORDS),
    words: segment.said,
    spoken: endMs > startMs ? Math.min(1, (elapsedMs - startMs) / (endMs - startMs)) : 1,
    ahead: endMs - elapsedMs <= AHEAD_MS ? aheadWords(data.segments[run.current + 1]) : "",
  };
}

/** "12 of 17": where segment `index` stands in the routine, also in a run of a part of it. */
export function placeOf({ segments, part = null }, index) {
  return `${(part?.first ?? 1) + index} of ${part?.of ?? segments.length}`;
}

/** The first words of the segment that follows: what is said, or where nothing is, what is done. */
function aheadWords(following) {
  return following ? cue(following.said || following.hands || following.name, AHEAD_WORDS) : "";
}

function nextView(data, run, events) {
  const following = run.current === null ? null : data.segments[run.current + 1];
  if (!following) return { finishes: true, alone: false, word: "", name: "Finish", length: "" };
  const alone = goesOnByItself(data.segments, run, events);
  return {
    finishes: false,
    alone,
    word: alone ? "By itself" : "Next",
    name: following.name,
    length: planned(following.likely_s),
  };
}

/** The time call that stands at `elapsedMs`; a later one takes the place of an earlier. */
export function callAt(rules, elapsedMs) {
  const standing = rules.time_calls.filter(
    (call) => call.at_s * 1000 <= elapsedMs && elapsedMs < call.at_s * 1000 + CALL_SHOWN_MS,
  );
  return standing.reduce((last, call) => (last && last.at_s > call.at_s ? last : call), null);
}

/** How many segments a finish now would leave without an end. */
export function unmarkedByFinish(run) {
  const last = run.ends_ms.length - 1;
  return run.ends_ms.filter(
    (endMs, index) => endMs === null && !(index === last && startOf(run, last) !== null),
  ).length;
}

/** Whether a run left open has been going for so long that it was most likely forgotten. */
export function looksForgotten(data, run, elapsedMs) {
  return run.status === "running" && elapsedMs > data.rules.slot_s * 1000 + FORGOTTEN_MS;
}
