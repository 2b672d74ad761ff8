// Steps of this device's clocks during a run: which are written down, and which were a sleep. A page
// that was never hidden may have slept all the same: a laptop does. If the server's clock went on by
// as much, it was sleep, and two more steps put it right.

import { SkewWatch } from "../clock.js";

// A set clock rarely jumps this far before the person's eyes; a laptop's sleep does.
const PERHAPS_SLEPT_MS = 5000;

export class ClockSteps {
  #watch;
  #serverClock;
  #doubted = null;

  constructor(clocks, serverClock) {
    this.#watch = new SkewWatch(clocks);
    this.#serverClock = serverClock;
  }

  noteHidden() {
    this.#watch.noteHidden();
  }

  /** Whether a step may have been a sleep: the server knows. */
  get areInDoubt() {
    return this.#doubted !== null;
  }

  /** The step that is to be written down; null for none. Before the start it only takes note. */
  check(status, holds) {
    // A run that is over needs no clock; if its end is taken back, the step is noticed then.
    if (status === "finished" || status === "abandoned") return null;
    const step = this.#watch.check(document.hidden);
    if (step === null || status === "waiting" || !holds) return null;
    if (step.cause === "set" && step.step_ms >= PERHAPS_SLEPT_MS) {
      this.#doubted = { stepMs: step.step_ms, answers: this.#serverClock.answers };
    }
    return step;
  }

  /** The steps that put it right, once the server has told that the device slept. */
  settle() {
    if (this.#doubted === null || this.#doubted.answers === this.#serverClock.answers) return [];
    const { stepMs } = this.#doubted;
    this.#doubted = null;
    if (!this.#serverClock.showsSleepOf(stepMs)) return [];
    return [{ step_ms: -stepMs, cause: "set" }, { step_ms: stepMs, cause: "sleep" }];
  }
}
