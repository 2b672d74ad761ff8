// Puts on the page what is said about the run rather than of it: signs, and the run when it is over.

import { element, flag, hide, write } from "../run/nodes.js";
import { tableRow } from "./paint_rows.js";

/** The signs from `signs.js`: on each view, those that it needs. */
export function paintSigns(parts, view) {
  write(parts.sync, view.sync);
  write(parts["closed-sync"], view.sync);
  flag(parts.sync, "unsent", String(view.unsent > 0));
  hide(parts["music-sign"], view.music === "");
  write(parts["music-sign"], view.music);
  hide(parts["sleep-sign"], view.sleep === "");
  write(parts["sleep-sign"], view.sleep);
  hide(parts["sleep-hint"], view.canStayAwake);
  hide(parts.notice, view.notice === null);
  if (view.notice !== null) write(parts["notice-words"], view.notice);
}

/** How many watch; nothing where nobody does, or nobody knows. */
export function paintWatching(parts, number) {
  for (const sign of [parts.watching, parts["waiting-watching"]]) {
    hide(sign, !number);
    write(sign, number ? `${number} watching` : "");
  }
}

/** A run that is over; `again` says whether a part of it can be practised from here. */
export function paintClosed(parts, view, again) {
  for (const name of ["heading", "total", "slot", "target", "undo"]) {
    write(parts[`closed-${name}`], view[name]);
  }
  parts["closed-rows"].replaceChildren(...view.rows.map((row) => tableRow(row, again)));
  parts["closed-notes"].replaceChildren(
    ...[...view.processes, view.incidents].map((words) => element("li", words)),
  );
}
