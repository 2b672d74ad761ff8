// The run as this page lives it: its journal, its clocks, and the state they fold to.

import { ClockSteps } from "./clock_steps.js";
import { RunTime } from "./run_time.js";
import { after } from "../after.js";
import { fold } from "../fold.js";
import { uuid7 } from "../ids.js";
import { outlineOf } from "../run_data.js";
import { standingOf } from "../standing.js";
import { inOrder } from "../times.js";

// Storage answers within a few ms; the screen waits for it, but not longer than this.
const SHOW_WITHIN_MS = 150;

export class LiveRun {
  #journal;
  #clocks;
  #time;
  #steps;
  #ids;
  #outline;
  #onShown;
  #log = [];
  #state;
  #shown;
  #beingStored = 0;
  #standing;

  constructor(data, journal, { clocks, serverClock, deviceId, onShown }) {
    this.#journal = journal;
    this.#clocks = clocks;
    this.#ids = { device_id: deviceId, boot_id: uuid7(clocks.wallMs()) };
    this.#time = new RunTime(clocks, serverClock, this.#ids.boot_id);
    this.#steps = new ClockSteps(clocks, serverClock);
    this.#outline = outlineOf(data);
    this.#onShown = onShown;
    this.#fold();
    this.#shown = this.#state;
  }

  /** The run as marked; `shown` follows once the marks are stored. */
  get state() {
    return this.#state;
  }

  get shown() {
    return this.#shown;
  }

  /** The event that undo would take back. */
  get lastMark() {
    return this.#log.find((event) => event.id === this.#shown.undo_id) ?? null;
  }

  /** How this device stands to the clock of the run, and to others that claim it. */
  get standing() {
    return this.#standing;
  }

  /** Whether marks are made on this device. */
  get holds() {
    return this.#standing.holds;
  }

  get elapsedMs() {
    return this.#time.elapsedMs(this.#log, this.#state.status);
  }

  /** Both clocks now: pass them to `mark` where a question stands between press and mark. */
  reading() {
    return this.#time.reading();
  }

  /**
   * Records a mark. Returns two promises: `shown`, when the screen shows it, which is once it is
   * stored; and `stored`, whether this device could store it.
   */
  mark(kind, fields = {}, at = null) {
    this.checkClocks();
    const stored = this.#append(kind, fields, at ?? this.reading());
    this.#fold();
    this.#beingStored += 1;
    const shown = Promise.race([stored, after(SHOW_WITHIN_MS)]).then(() => {
      this.#beingStored -= 1;
      this.#show();
    });
    return { shown, stored };
  }

  /** Makes this device the one that holds the clock, from now on. */
  takeOver() {
    // Past everything that is known to count, or the takeover would undo it.
    const atMs = Math.max(this.elapsedMs, this.#standing.latestMs + 1);
    this.#append("hold", { at_ms: atMs });
    this.refresh();
  }

  /** Folds anew after the journal learnt of events from elsewhere, and ties this page to the run. */
  refresh() {
    this.#fold();
    if (this.#state.status === "running" && this.holds && !this.#time.isTied(this.#log)) {
      this.#append("resume", this.#time.momentOfResume(this.#log, this.#standing.latestMs));
      this.#fold();
    }
    const steps = this.#steps.settle();
    for (const step of steps) this.#append("clock_step", step);
    if (steps.length > 0) this.#fold();
    // A mark that is being stored brings the rest to the screen with it, and not before.
    if (this.#beingStored === 0) this.#show();
  }

  noteHidden() {
    this.#steps.noteHidden();
  }

  /** Writes down when the two clocks have moved apart; before the start it only takes note. */
  checkClocks() {
    const step = this.#steps.check(this.#state.status, this.holds);
    if (step === null) return;
    this.#append("clock_step", step);
    this.refresh();
  }

  /** Whether a step of the clocks may have been a sleep: the server knows. */
  get isInDoubt() {
    return this.#steps.areInDoubt;
  }

  #append(kind, fields, at = this.reading()) {
    return this.#journal.append({
      id: uuid7(this.#clocks.wallMs()),
      ...this.#ids,
      seq: this.#journal.nextSeq,
      kind,
      ...at,
      ...fields,
    });
  }

  #fold() {
    this.#log = inOrder(this.#journal.events);
    this.#state = fold(this.#log, this.#outline);
    this.#standing = standingOf(this.#log, this.#ids.device_id);
  }

  #show() {
    this.#shown = this.#state;
    this.#onShown();
  }
}
