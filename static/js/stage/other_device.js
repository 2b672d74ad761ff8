// Another device on the same run: tells the person who holds the clock, and lets them take it over
// on purpose. Until then this page only shows the run.

import { ask } from "./question.js";
import { write } from "../run/nodes.js";
import { counted, passed } from "../run/words.js";

const ASK_SELDOM_MS = 5000;
const ASK_OFTEN_MS = 2000;
const TAKE_OVER = "Take the clock over? The other device stops marking as soon as it hears of it.";

export class OtherDevice {
  #run;
  #sender;
  #serverClock;
  #parts;
  #lastAskedMs = -Infinity;

  constructor({ run, sender, serverClock, parts }) {
    this.#run = run;
    this.#sender = sender;
    this.#serverClock = serverClock;
    this.#parts = parts;
  }

  /** Asks the server now and then, and says what is to be said; call it every second or so. */
  look() {
    const { status } = this.#run.state;
    const isOver = status === "finished" || status === "abandoned";
    const isQuiet = this.#run.standing.isAlone && this.#sender.state.trouble === null;
    const everyMs = isQuiet ? ASK_SELDOM_MS : ASK_OFTEN_MS;
    const nowMs = performance.now();
    if (!isOver && !document.hidden && nowMs - this.#lastAskedMs >= everyMs) {
      this.#lastAskedMs = nowMs;
      this.#sender.look();
    }
    this.paint();
  }

  paint() {
    const { holds, state } = this.#run;
    const isTold = !holds && state.status === "running";
    document.body.dataset.clock = holds ? "here" : "elsewhere";
    this.#parts["closed-undo"].hidden = !holds;
    this.#parts.elsewhere.hidden = !isTold;
    if (isTold) write(this.#parts["elsewhere-words"], this.#words());
  }

  /** Asks, and takes the clock over if that is meant. */
  async takeOver() {
    if (this.#run.holds) return;
    if (!(await ask(this.#parts, TAKE_OVER, { yes: "Take over", no: "Leave it there" }))) return;
    if (this.#run.holds || this.#run.state.status !== "running") return;
    this.#run.takeOver();
    this.#sender.kick();
    this.paint();
  }

  #words() {
    const { tookMs, uncounted, holderId } = this.#run.standing;
    const agoMs = this.#serverClock.heardAgoMs(holderId, performance.now());
    const words =
      tookMs === null
        ? `Another device holds this run’s clock${lastHeard(agoMs)}.`
        : `Another device took this run’s clock over at ${passed(tookMs)}${lastHeard(agoMs)}.`;
    if (uncounted === 0) return words;
    return `${words} ${counted(uncounted, "mark")} made here since ${uncounted === 1 ? "does" : "do"} not count.`;
  }
}

function lastHeard(agoMs) {
  if (agoMs === null) return "; the server cannot be asked when it was last heard from";
  return agoMs < 60_000
    ? `, last heard from ${Math.round(agoMs / 1000)} s ago`
    : `, last heard from ${passed(agoMs)} ago`;
}
