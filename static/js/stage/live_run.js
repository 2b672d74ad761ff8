// The run as this page lives it: its journal, its clocks, and the state they fold to.

import { SkewWatch } from "./clock.js";
import { elapsedNow, fold, inOrder } from "./fold.js";
import { uuid7 } from "./ids.js";

// Storage answers within a few ms; the screen waits for it, but not longer than this.
const SHOW_WITHIN_MS = 150;

export class LiveRun {
  #journal;
  #clocks;
  #deviceId;
  #bootId;
  #outline;
  #watch;
  #onShown;
  #log = [];
  #state;
  #shown;
  #beingStored = 0;

  constructor(data, journal, clocks, deviceId, onShown) {
    this.#journal = journal;
    this.#clocks = clocks;
    this.#deviceId = deviceId;
    this.#bootId = uuid7(clocks.wallMs());
    this.#outline = {
      segment_ids: data.segments.map((segment) => segment.id),
      processes: data.processes,
    };
    this.#watch = new SkewWatch(clocks);
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

  get elapsedMs() {
    return elapsedNow(this.#log, this.#bootId, this.#clocks.monoMs()) ?? 0;
  }

  /** Both clocks now: pass them to `mark` where a question stands between press and mark. */
  reading() {
    return { wall_ms: this.#clocks.wallMs(), mono_ms: this.#clocks.monoMs() };
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

  /** Folds anew after the journal learnt of events from elsewhere, and ties this page to the run. */
  refresh() {
    this.#fold();
    const tied = this.#log.some((event) => event.boot_id === this.#bootId);
    if (this.#state.status === "running" && !tied) {
      this.#append("resume", {}, this.reading());
      this.#fold();
    }
    // A mark that is being stored brings the rest to the screen with it, and not before.
    if (this.#beingStored === 0) this.#show();
  }

  noteHidden() {
    this.#watch.noteHidden();
  }

  /** Writes down when the two clocks have moved apart; before the start it only takes note. */
  checkClocks() {
    const { status } = this.#state;
    // A run that is over needs no clock; if its end is taken back, the step is noticed then.
    if (status === "finished" || status === "abandoned") return;
    const step = this.#watch.check(document.hidden);
    if (step === null || status === "waiting") return;
    this.#append("clock_step", step, this.reading());
    this.refresh();
  }

  #append(kind, fields, at) {
    return this.#journal.append({
      id: uuid7(this.#clocks.wallMs()),
      device_id: this.#deviceId,
      boot_id: this.#bootId,
      seq: this.#journal.nextSeq,
      kind,
      ...at,
      ...fields,
    });
  }

  #fold() {
    this.#log = inOrder(this.#journal.events);
    this.#state = fold(this.#log, this.#outline);
  }

  #show() {
    this.#shown = this.#state;
    this.#onShown();
  }
}

function after(ms) {
  return new Promise((resolve) => {
    setTimeout(resolve, ms);
  });
}
