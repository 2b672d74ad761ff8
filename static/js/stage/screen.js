// The screen: follows the run, picks the view, and paints every frame from timestamps. Nothing is
// counted here; while the page is hidden no frame comes and nothing is missed.

import { paintClosed } from "./paint_signs.js";
import { expectedTotalMs } from "../run/forecast.js";
import { tapeOf } from "../run/tape/tape.js";
import { stageTape } from "../run/tape/drawing.js";
import { closedView, planWords } from "../run/closed_view.js";
import { runningView } from "../run/view_state.js";

const TAPE_EVERY_MS = 250;

export class Screen {
  #data;
  #run;
  #parts;
  #painter;
  #journal;
  #timekeeper;
  #panel;
  #preferences;
  #tapes;
  #view = null;
  #segment = null;
  #tapeDrawnMs = -Infinity;

  constructor({ data, run, parts, painter, journal, timekeeper, panel, preferences }) {
    this.#data = data;
    this.#run = run;
    this.#parts = parts;
    this.#painter = painter;
    this.#journal = journal;
    this.#timekeeper = timekeeper;
    this.#panel = panel;
    this.#preferences = preferences;
    this.#tapes = {
      plan: stageTape(parts["tape-plan"]),
      whole: stageTape(parts["tape-whole"]),
    };
    addEventListener("resize", () => this.redraw());
  }

  /** Paints from now on, frame by frame. */
  start() {
    const frame = () => {
      if (this.#view === "running") this.#paintRunning();
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  }

  /** Shows what the run has become; call it whenever a mark may be shown. */
  follow() {
    const { status } = this.#run.shown;
    const view = status === "finished" || status === "abandoned" ? "closed" : status;
    if (view !== this.#view) this.#enter(view);
    if (view === "closed") paintClosed(this.#parts, closedView(this.#data, this.#run.shown), !this.#data.try_out);
    this.#tapeDrawnMs = -Infinity;
  }

  #enter(view) {
    this.#view = view;
    this.#segment = null;
    this.#timekeeper.takeUp(this.#run.elapsedMs);
    this.#painter.show(view);
    if (view === "running") this.#panel.close();
    if (view === "waiting") this.#drawPlan();
    if (view === "closed") this.#parts["closed-heading"].focus();
  }

  /** Draws the tapes anew: their place has changed its size or its look. */
  redraw() {
    this.#tapeDrawnMs = -Infinity;
    if (this.#view === "waiting") this.#drawPlan();
  }

  #drawPlan() {
    this.#tapes.plan.draw(tapeOf(this.#data, this.#run.shown, 0));
    this.#tapes.plan.moveTo(0);
    const { segments } = this.#data;
    const totalMs = expectedTotalMs(segments, this.#run.shown, 0);
    this.#parts["plan-words"].textContent = planWords(this.#data, totalMs);
  }

  #paintRunning() {
    const { elapsedMs, shown, lastMark } = this.#run;
    const mainDigits = this.#preferences.get("digits");
    const view = runningView(this.#data, shown, elapsedMs, lastMark, this.#journal.events, mainDigits);
    this.#painter.running(view, this.#preferences.get("words"));
    this.#paintTape(elapsedMs);
    this.#announce(view);
  }

  #paintTape(elapsedMs) {
    const nowMs = performance.now();
    if (nowMs - this.#tapeDrawnMs > TAPE_EVERY_MS) {
      this.#tapeDrawnMs = nowMs;
      this.#tapes.whole.draw(tapeOf(this.#data, this.#run.shown, elapsedMs), elapsedMs / 1000);
    }
    this.#tapes.whole.moveTo(elapsedMs / 1000);
  }

  #announce(view) {
    if (view.now.name === this.#segment) return;
    this.#segment = view.now.name;
    this.#painter.say(`${view.now.name}, ${view.now.place}`);
  }
}
