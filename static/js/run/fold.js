// A run: the state that its event log folds to. The mirror of server/domain/runs/run.py; both are held
// to tests/run_cases.json. Plain values in, plain values out: no clock, no storage, no page.

import { counted } from "./holding.js";
import { Marks } from "./marks.js";
import { REMARKS } from "./remarks.js";
import { elapsedTimes, inOrder, isWatched } from "./times.js";

const UNDOABLE = new Set(["done", "ready", "incident", "finish", "abandon"]);
const RETRACTABLE = new Set([...UNDOABLE, ...REMARKS, "note"]);

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
