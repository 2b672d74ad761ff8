// What is shown of a run that is over, as plain values. Pure: (data, run) -> view.

import { incidentWords } from "./mark_words.js";
import { apart, counted, exact, passed, planned } from "./words.js";

/** What the stage shows of a run that is over. */
export function closedView(data, run) {
  const totalMs = run.total_ms;
  const isFinished = run.status === "finished";
  // What was stopped was not in time for anything.
  const against = isFinished ? againstSlot(data.rules, totalMs) : "";
  return {
    heading: isFinished ? "Finished" : "Stopped",
    total: exact(totalMs),
    slot: data.part ? againstPart(data, totalMs) : against,
    target: data.part || !isFinished ? "" : againstTarget(data.rules, totalMs),
    rows: data.segments.map((segment, index) => rowOf(segment, run.splits_ms[index])),
    processes: run.processes.flatMap((state, index) => processRow(data.processes[index], state)),
    incidents:
      run.incidents.length === 0
        ? "No incident"
        : `${counted(run.incidents.length, "incident")}: ${run.incidents
            .map((incident) => `${incidentWords(incident.what)} at ${passed(incident.elapsed_ms)}`)
            .join(", ")}`,
    undo: isFinished ? "Take back the finish" : "Take back the stop",
  };
}

function againstSlot(rules, totalMs) {
  const overMs = totalMs - rules.slot_s * 1000;
  const isInGrace = overMs > 0 && overMs <= rules.grace_s * 1000;
  const words = apart(overMs, { more: "over", less: "under", none: "exactly" });
  return `${words} the slot of ${planned(rules.slot_s)}${isInGrace ? ", within the grace" : ""}`;
}

// A part has neither slot nor target of its own: it is held against its plan.
function againstPart({ part, rules }, totalMs) {
  const words = apart(totalMs - rules.slot_s * 1000, { none: "just" });
  const held = part.name ? "allowed" : "planned";
  return `${partWords(part)}: ${words} the ${planned(rules.slot_s)} ${held}`;
}

/** "Segments 11 to 13 of 17": what a run of a part is of. */
export function partWords({ first, last, of, name }) {
  if (name) return name;
  return last > first ? `Segments ${first} to ${last} of ${of}` : `Segment ${first} of ${of}`;
}

function againstTarget(rules, totalMs) {
  const words = apart(totalMs - rules.target_s * 1000, { more: "after", less: "before", none: "at" });
  return `${words} the target of ${planned(rules.target_s)}`;
}

/** What will be run, in a line: segments, planned time, target and slot. */
export function planWords({ segments, rules, part = null }, totalMs) {
  const planIs = `planned ${planned(totalMs / 1000)}`;
  if (part) return `${partWords(part)}, ${planIs}`;
  const times = [`target ${planned(rules.target_s)}`, `slot ${planned(rules.slot_s)}`];
  return [`${counted(segments.length, "segment")}, ${planIs}`, ...times].join(" · ");
}

function rowOf(segment, splitMs) {
  const plannedMs = segment.likely_s * 1000;
  return {
    id: segment.id,
    name: segment.name,
    plan: planned(segment.likely_s),
    split: splitMs === null ? "not marked" : exact(splitMs),
    difference: splitMs === null ? "" : apart(splitMs - plannedMs),
  };
}

function processRow(process, state) {
  if (state.missed) return [`${process.name} was not ready when it was needed`];
  return state.ready_ms === null ? [] : [`${process.name} was ready at ${passed(state.ready_ms)}`];
}
