// Ending a run by "…": nothing of it can be meant by accident, so it asks first. The end is the
// moment of the press, not that of the answer.

import { ask } from "./question.js";
import { unmarkedByFinish } from "../run/view_state.js";
import { counted } from "../run/words.js";

export class Ending {
  #run;
  #parts;
  #mark;

  /** `mark(kind, at)` marks the end at a reading of both clocks. */
  constructor(run, parts, mark) {
    this.#run = run;
    this.#parts = parts;
    this.#mark = mark;
  }

  /** Finishes the run; asks where segments would be left without a mark. */
  async finish() {
    const at = this.#run.reading();
    const unmarked = unmarkedByFinish(this.#run.state);
    const are = unmarked === 1 ? "is" : "are";
    const words = `${counted(unmarked, "segment")} ${are} not marked. Finish all the same?`;
    if (unmarked > 0 && !(await ask(this.#parts, words, { yes: "Finish" }))) return;
    if (this.#run.state.status === "running") this.#mark("finish", at);
  }

  /** Stops the run before its end. */
  stop() {
    return this.stopIf("Stop this run? Marks are kept.", this.#run.reading());
  }

  /** Asks, in the given words, whether to stop the run. */
  async stopIf(words, at = null) {
    const yes = await ask(this.#parts, words, { yes: "Stop" });
    if (yes && this.#run.state.status === "running") this.#mark("abandon", at);
  }
}
