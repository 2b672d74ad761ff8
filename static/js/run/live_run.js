// The run as this page lives it: its journal, its clocks, and the state they fold to.

import { readTogether, SkewWatch } from "./clock.js";
import { fold } from "./fold.js";
import { uuid7 } from "./ids.js";
import { standingOf } from "./standing.js";
import { elapsedNow, inOrder } from "./times.js";

// Storage answers within a few ms; the screen waits for it, but not longer than this.
const SHOW_WITHIN_MS = 150;
// A wall clock this far from what the server knows was reset while the page was closed.
const RESET_MS = 86_400_000;
// A set clock rarely jumps this far before the person's eyes; a laptop's sleep does.
const PERHAPS_SLEPT_MS = 5000;

export class LiveRun {
  #journal;
  #clocks;
  #serverClock;
  #deviceId;
  #bootId;
  #outline;
  #watch;
  #onShown;
  #log = [];
  #state;
  #shown;
  #beingStored = 0;
  #standing;
  #doubted = null;

  constructor(data, journal, { clocks, serverClock, deviceId, onShown }) {
    this.#journal = journal;
    this.#clocks = clocks;
    this.#serverClock = serverClock;
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

  /** How this device stands to the clock of the run, and to others that claim it. */
  get standing() {
    return this.#standing;
  }

  /** Whether marks are made on this device. */
  get holds() {
    return this.#standing.holds;
  }

  get elapsedMs() {
    return elapsedNow(this.#log, this.#bootId, this.#clocks.monoMs()) ?? this.#elapsedFromOutside();
  }

  /** Both clocks now: pass them to `mark` where a question stands between press and mark. */
  reading() {
    return readTogether(this.#clocks);
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
    this.#append("hold", { at_ms: atMs }, this.reading());
    this.refresh();
  }

  /** Folds anew after the journal learnt of events from elsewhere, and ties this page to the run. */
  refresh() {
    this.#fold();
    const tied = this.#log.some((event) => event.boot_id === this.#bootId);
    if (this.#state.status === "running" && this.holds && !tied) {
      this.#append("resume", this.#momentOfResume(), this.reading());
      this.#fold();
    }
    this.#settleDoubt();
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
    if (step === null || status === "waiting" || !this.holds) return;
    this.#append("clock_step", step, this.reading());
    if (step.cause === "set" && step.step_ms >= PERHAPS_SLEPT_MS) {
      this.#doubted = { stepMs: step.step_ms, answers: this.#serverClock.answers };
    }
    this.refresh();
  }

  /** Whether a step of the clocks may have been a sleep: the server knows. */
  get isInDoubt() {
    return this.#doubted !== null;
  }

  // A page that was never hidden may have slept all the same: a laptop does. If the server's clock
  // went on by as much, it was sleep, and two more steps put it right.
  #settleDoubt() {
    if (this.#doubted === null || this.#doubted.answers === this.#serverClock.answers) return;
    const { stepMs } = this.#doubted;
    this.#doubted = null;
    if (!this.#serverClock.showsSleepOf(stepMs)) return;
    this.#append("clock_step", { step_ms: -stepMs, cause: "set" }, this.reading());
    this.#append("clock_step", { step_ms: stepMs, cause: "sleep" }, this.reading());
    this.#fold();
  }

  // A device whose battery died may come back with its wall clock reset. Where the server knows
  // better by far, the run goes on by what the server knows.
  #momentOfResume() {
    const serverMs = this.#serverClock.elapsedMs(this.#clocks.monoMs());
    const { latestMs } = this.#standing;
    const byWallMs = this.#elapsedByWall();
    const isOff = byWallMs < latestMs || Math.abs(byWallMs - serverMs) > RESET_MS;
    return serverMs !== null && serverMs >= latestMs && isOff ? { at_ms: serverMs } : {};
  }

  // What a page that no event ties to the run makes of the time: the server's word, or else the
  // wall clock's.
  #elapsedFromOutside() {
    if (this.#state.status === "waiting") return 0;
    const serverMs = this.#serverClock.elapsedMs(this.#clocks.monoMs());
    return Math.max(0, serverMs ?? this.#elapsedByWall());
  }

  #elapsedByWall() {
    const start = this.#log.find((event) => event.kind === "start");
    const sets = this.#log.filter((event) => event.cause === "set");
    const shiftMs = sets.reduce((sum, event) => sum + (event.step_ms ?? 0), 0);
    return this.#clocks.wallMs() - start.wall_ms - shiftMs;
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
    this.#standing = standingOf(this.#log, this.#deviceId);
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
