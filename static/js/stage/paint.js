// Puts views on the page. Decides nothing: what is shown comes from `view_state.js`.

import { element, fillList, hide, note, write } from "./nodes.js";
import { incidentButton, paintProcess, processRow, skipButton, tableRow } from "./paint_rows.js";
import { INCIDENTS } from "./view_state.js";

/** The parts of the page by the name in their data-part attribute. */
export function partsOf(root) {
  const parts = {};
  for (const node of root.querySelectorAll("[data-part]")) parts[node.dataset.part] = node;
  return parts;
}

const REFUSED_SHOWN_MS = 2000;

export class Painter {
  #parts;
  #refusedTimer = null;

  constructor(parts) {
    this.#parts = parts;
    parts.incidents.replaceChildren(...INCIDENTS.map(incidentButton));
  }

  /** Shows one of the three views: waiting, running or closed. */
  show(name) {
    document.body.dataset.status = name;
    // The frame of a call is of the run: it ends with it.
    if (name !== "running") note(document.body, "call", "false");
    for (const view of document.querySelectorAll("[data-view]")) {
      view.hidden = view.dataset.view !== name;
    }
  }

  running(view) {
    const parts = this.#parts;
    write(parts.elapsed, view.elapsed);
    write(parts["slot-digits"], view.slot.digits);
    write(parts["slot-word"], view.slot.word);
    write(parts["pace-digits"], view.pace.digits);
    write(parts["pace-word"], view.pace.word);
    write(parts.finish, view.finish);
    note(document.body, "phase", view.phase);
    note(parts["pace-figure"], "pace", view.pace.word || "on");
    this.#now(view.now);
    write(parts["next-word"], view.next.word);
    write(parts["next-name"], view.next.name);
    write(parts["next-length"], view.next.length);
    note(parts.next, "finishes", String(view.next.finishes));
    note(parts.next, "alone", String(view.next.alone));
    fillList(parts.processes, view.processes, processRow, paintProcess);
    hide(parts.processes, view.lanes === 0);
    this.#cue("plan-b", view.planB);
    note(parts.processes, "lanes", String(Math.min(view.lanes, 3)));
    write(parts["undo-words"], view.undo ?? "");
    parts.undo.disabled = view.undo === null;
    hide(parts.call, view.call === null);
    write(parts.call, view.call?.words ?? "");
    note(document.body, "call", String(view.call !== null));
  }

  #now(now) {
    const parts = this.#parts;
    write(parts.place, [now.place, ...now.about].join(" · "));
    write(parts["now-name"], now.name);
    hide(parts["now-left"], now.left === null);
    write(parts["now-digits"], now.left?.digits ?? "");
    write(parts["now-word"], now.left?.word ?? "");
    note(parts.now, "over", String(now.left?.over ?? false));
    for (const name of ["hands", "said", "ahead"]) this.#cue(name, now[name]);
  }

  #cue(name, words) {
    const row = this.#parts[`${name}-row`];
    hide(row, words === "");
    write(this.#parts[name], words);
  }

  /** The seconds of the count-in; null when there is none. */
  countIn(seconds) {
    const parts = this.#parts;
    const isOn = seconds !== null;
    hide(parts["count-in"], !isOn);
    write(parts["count-in-digits"], String(seconds ?? ""));
    // What lies behind the digits cannot be reached with Tab either.
    for (const other of parts["count-in"].parentElement.children) {
      if (other !== parts["count-in"]) other.inert = isOn;
    }
  }

  /** Says for a moment that a press was not taken, and why. */
  refused(words) {
    const sign = this.#parts.refused;
    clearTimeout(this.#refusedTimer);
    write(sign, words);
    hide(sign, false);
    this.#refusedTimer = setTimeout(() => {
      hide(sign, true);
    }, REFUSED_SHOWN_MS);
  }

  /** Where the run can be skipped to. */
  skips(skips) {
    this.#parts["skip-ways"].replaceChildren(...skips.map(skipButton));
  }

  /** A short sign that a mark was taken; the colour of the whole area, for eyes that look away. */
  flash() {
    const area = this.#parts.touch;
    area.classList.remove("marked");
    void area.offsetWidth; // Lets the animation start anew.
    area.classList.add("marked");
  }

  closed(view) {
    const parts = this.#parts;
    write(parts["closed-heading"], view.heading);
    write(parts["closed-total"], view.total);
    write(parts["closed-slot"], view.slot);
    write(parts["closed-target"], view.target);
    write(parts["closed-undo"], view.undo);
    parts["closed-rows"].replaceChildren(...view.rows.map(tableRow));
    parts["closed-notes"].replaceChildren(
      ...[...view.processes, view.incidents].map((words) => element("li", words)),
    );
  }

  signs(view) {
    const parts = this.#parts;
    write(parts.sync, view.sync);
    write(parts["closed-sync"], view.sync);
    note(parts.sync, "unsent", String(view.unsent > 0));
    hide(parts["sleep-sign"], view.sleep === "");
    write(parts["sleep-sign"], view.sleep);
    hide(parts["music-sign"], view.music === "");
    write(parts["music-sign"], view.music);
    hide(parts["sleep-hint"], view.canStayAwake);
    hide(parts.notice, view.notice === null);
    if (view.notice !== null) write(parts["notice-words"], view.notice);
  }

  /** The quiet sign of how many watch; nothing where nobody does, or nobody knows. */
  watching = (number) => {
    for (const sign of [this.#parts.watching, this.#parts["waiting-watching"]]) {
      hide(sign, !number);
      write(sign, number ? `${number} watching` : "");
    }
  };

  /** Lets a screen reader say it when it is done with what it says. */
  say(words) {
    write(this.#parts.spoken, words);
  }
}
