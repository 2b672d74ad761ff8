// Puts the run under way on the page. Decides nothing: what is shown comes from `view_state.js`.

import { fillList, flag, hide, write } from "../run/nodes.js";
import { paintFigures } from "../run/paint_figures.js";
import { incidentButton, paintProcess, processRow, skipButton } from "./paint_rows.js";
import { showSpoken } from "./spoken.js";
import { INCIDENTS } from "../run/mark_words.js";

const REFUSED_SHOWN_MS = 2000;

export class Painter {
  #parts;
  #ofSegment;
  #refusedTimer = null;

  constructor(parts) {
    this.#parts = parts;
    this.#ofSegment = parts.cues.querySelectorAll("[data-field]");
    parts.incidents.replaceChildren(...INCIDENTS.map(incidentButton));
  }

  /** Shows one of the three views: waiting, running or closed. */
  show(name) {
    document.body.dataset.status = name;
    // The frame of a call is of the run: it ends with it.
    if (name !== "running") flag(document.body, "call", "false");
    for (const view of document.querySelectorAll("[data-view]")) {
      view.hidden = view.dataset.view !== name;
    }
  }

  /** `words` is how much of the talk is shown: first, full or none. */
  running(view, words = "first") {
    this.#clock(view);
    this.#now(view.now);
    this.#cues(view.now, words);
    this.#processes(view);
    this.#next(view.next);
    this.#undo(view);
    this.#call(view.call);
  }

  #clock(view) {
    const parts = this.#parts;
    write(parts.elapsed, view.main);
    // As many figures, as wide: the sheet knows three widths of the clock.
    flag(parts.clock, "figures", String(view.main.replace(/\D/g, "").length));
    write(parts["elapsed-is"], view.mainIs);
    flag(parts.clock, "main", view.mainIs === "elapsed" ? "elapsed" : "left");
    write(parts["slot-name"], view.beside.name);
    paintFigures(parts, view.beside, view);
    flag(parts["pace-figure"], "pace", view.pace.word || "on");
  }

  #now(now) {
    const parts = this.#parts;
    write(parts.place, [now.place, ...now.about].filter(Boolean).join(" · "));
    write(parts["now-name"], now.name);
    hide(parts["now-left"], now.left === null);
    write(parts["now-digits"], now.left?.digits ?? "");
    write(parts["now-word"], now.left?.word ?? "");
    flag(parts.now, "over", String(now.left?.over ?? false));
  }

  #cues(now, words) {
    const isFull = words === "full" && now.words !== "";
    flag(this.#parts.cues, "words", isFull ? "full" : words);
    this.#fields(now.segment);
    this.#cue("said", isFull ? now.words : now.said);
    this.#cue("ahead", now.ahead);
    // What comes next takes the place of first words that were long said.
    flag(this.#parts.cues, "ahead", String(now.ahead !== "" && !isFull));
    showSpoken(this.#parts, isFull ? now.spoken : null);
  }

  #processes({ processes, planB, lanes }) {
    const list = this.#parts.processes;
    fillList(list, processes, processRow, paintProcess);
    hide(list, lanes === 0);
    this.#cue("plan-b", planB);
    flag(list, "lanes", String(Math.min(lanes, 3)));
  }

  #next(next) {
    const parts = this.#parts;
    write(parts["next-word"], next.word);
    write(parts["next-name"], next.name);
    write(parts["next-length"], next.length);
    flag(parts.next, "finishes", String(next.finishes));
    flag(parts.next, "alone", String(next.alone));
  }

  #undo({ undo, done }) {
    write(this.#parts["undo-done"], done);
    write(this.#parts["undo-words"], undo ?? "");
    this.#parts.undo.disabled = undo === null;
  }

  #call(call) {
    hide(this.#parts.call, call === null);
    write(this.#parts.call, call?.words ?? "");
    flag(document.body, "call", String(call !== null));
  }

  // What a segment holds as it was written, wherever the page names a field of it.
  #fields(segment) {
    for (const node of this.#ofSegment) {
      const words = segment[node.dataset.field] ?? "";
      hide(node.parentElement, words === "");
      write(node, words);
    }
  }

  #cue(name, words) {
    hide(this.#parts[`${name}-row`], words === "");
    write(this.#parts[name], words);
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

  /** Lets a screen reader say it when it is done with what it says. */
  say(words) {
    write(this.#parts.spoken, words);
  }
}
