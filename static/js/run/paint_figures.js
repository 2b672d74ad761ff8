// The figures that the stage and the page for watching both show of a run under way.

import { flag, write } from "./nodes.js";

/** Writes the figure of the slot, `beside`, and how the run lies and will end, into their parts. */
export function paintFigures(parts, beside, { pace, finish, phase }) {
  write(parts["slot-digits"], beside.digits);
  write(parts["slot-word"], beside.word);
  write(parts["pace-digits"], pace.digits);
  write(parts["pace-word"], pace.word);
  write(parts.finish, finish);
  flag(document.body, "phase", phase);
}
