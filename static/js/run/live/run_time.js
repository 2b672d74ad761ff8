// The run's time as this page knows it: by the event that ties the page to the run, and where none
// does by the server's word, or else by the wall clock.

import { readTogether } from "../clock.js";
import { elapsedNow } from "../times.js";

// A wall clock this far from what the server knows was reset while the page was closed.
const RESET_MS = 86_400_000;

export class RunTime {
  #clocks;
  #serverClock;
  #bootId;

  constructor(clocks, serverClock, bootId) {
    this.#clocks = clocks;
    this.#serverClock = serverClock;
    this.#bootId = bootId;
  }

  /** Both clocks now. */
  reading() {
    return readTogether(this.#clocks);
  }

  /** Ms elapsed of the run of this log; none before its start. */
  elapsedMs(log, status) {
    const tiedMs = elapsedNow(log, this.#bootId, this.#clocks.monoMs());
    if (tiedMs !== null) return tiedMs;
    return status === "waiting" ? 0 : Math.max(0, this.#byServer() ?? this.#byWall(log));
  }

  /** Whether an event of the log ties this page to the run. */
  isTied(log) {
    return log.some((event) => event.boot_id === this.#bootId);
  }

  /**
   * The moment that a resume is to name. A device whose battery died may come back with its wall
   * clock reset: where the server knows better by far, the run goes on by what the server knows.
   */
  momentOfResume(log, latestMs) {
    const serverMs = this.#byServer();
    const byWallMs = this.#byWall(log);
    const isOff = byWallMs < latestMs || Math.abs(byWallMs - serverMs) > RESET_MS;
    return serverMs !== null && serverMs >= latestMs && isOff ? { at_ms: serverMs } : {};
  }

  #byServer() {
    return this.#serverClock.elapsedMs(this.#clocks.monoMs());
  }

  #byWall(log) {
    const start = log.find((event) => event.kind === "start");
    const sets = log.filter((event) => event.cause === "set");
    const shiftMs = sets.reduce((sum, event) => sum + (event.step_ms ?? 0), 0);
    return this.#clocks.wallMs() - start.wall_ms - shiftMs;
  }
}
