// What is asked once the run is over: whether it counts, its name, its place and a remark. The
// finish is stored before; each answer is an event of its own, kept on the device like any mark.

import { doubtOf, doubtWords } from "../run/counting.js";
import { inOrder } from "../run/times.js";
import { exact, planned } from "../run/words.js";

const ONLY_A_PART = "A part: its times count for these segments, never as a whole run.";
const TYPED = ["label", "venue", "text"];

export class Asked {
  #data;
  #run;
  #journal;
  #parts;
  #onMark;
  #form;

  constructor({ data, run, journal, parts, onMark }) {
    this.#data = data;
    this.#run = run;
    this.#journal = journal;
    this.#parts = parts;
    this.#onMark = onMark;
    this.#form = parts.asked ?? null; // An old copy of the page does not ask.
    if (!this.#form) return;
    this.#form.addEventListener("change", ({ target }) => this.#keep(target.name));
    this.#form.addEventListener("submit", (event) => event.preventDefault());
    // Who types and turns the page away leaves the field without changing it.
    addEventListener("pagehide", () => this.#keepTyped());
  }

  /** Shows what was said so far, or what is preset; call it whenever the run has changed. */
  follow() {
    if (!this.#form || this.#data.try_out) return;
    const { status } = this.#run.shown;
    const isOver = status === "finished" || status === "abandoned";
    // The finish was taken back: what was said of that one says nothing of the next.
    const isTakenBack = !isOver && this.#run.holds && this.#said?.counts != null;
    if (isTakenBack) this.#tell({ ...this.#said, counts: null });
    this.#form.hidden = !isOver;
    if (!isOver) return;
    const doubt = doubtOf(this.#run.shown, this.#data.planned_s ?? 0);
    const { counts = null } = this.#said ?? {};
    this.#parts["asked-choice"].hidden = status === "abandoned";
    const took = exact(this.#run.shown.total_ms); // As the total stands beside it.
    const why = counts === null ? doubtWords(doubt, took, planned(this.#data.planned_s ?? 0)) : "";
    const words = why || (this.#data.part ? ONLY_A_PART : "");
    this.#parts["asked-why"].textContent = status === "abandoned" ? "" : words;
    // Nothing is written over what is being typed.
    if (this.#form.contains(document.activeElement)) return;
    this.#form.elements.counts.value = (counts ?? doubt === "") ? "yes" : "no";
    for (const name of TYPED) this.#form.elements[name].value = this.#said?.[name] ?? "";
  }

  get #said() {
    return inOrder(this.#journal.events).findLast((event) => event.kind === "about") ?? null;
  }

  #keepTyped() {
    const typed = this.#typed();
    const said = this.#said;
    const isNew = TYPED.some((name) => typed[name] !== (said?.[name] ?? ""));
    if (!this.#form.hidden && isNew) {
      this.#tell({ ...typed, counts: said?.counts ?? null });
    }
  }

  // Whether it counts is told once somebody chose; until then the marks decide, as preset.
  #keep(changed) {
    const { elements } = this.#form;
    const isChosen = changed === "counts" || this.#said?.counts != null;
    this.#tell({ ...this.#typed(), counts: isChosen ? elements.counts.value === "yes" : null });
    this.#parts["asked-kept"].textContent = "Kept.";
  }

  #typed() {
    const { label, venue, text } = this.#form.elements;
    return { label: label.value, venue: venue.value, text: text.value };
  }

  #tell({ counts, label, venue, text }) {
    const open = counts == null ? {} : { counts };
    this.#onMark(this.#run.mark("about", { label, venue, text, ...open }).stored);
  }
}
