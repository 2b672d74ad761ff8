// One take: what a recorder hears, kept piece by piece in the store of this device.

import { uuid7 } from "../run/ids.js";
import { hasRoomFor, isNearLimit } from "./limits.js";

const CHUNK_MS = 1000;
const LOOK_AT_ROOM_EVERY_MS = 10_000;

export class Take {
  #recorder;
  #store;
  #mostBytes;
  #elapsedMs;
  #told;
  #beganMs;
  #chunks = 0;
  #isCut = false;
  #writing = Promise.resolve();
  #release = null;
  #roomTimer = null;
  #onTrouble;
  #onClosed;

  /**
   * `run` is { run_id, from_run }, `elapsedMs` tells the run's clock. `onTrouble(words)` hears why
   * the take ends early, `onClosed()` when all of it is kept.
   */
  constructor(recorder, { kind, run, elapsedMs, store, mostBytes, onTrouble, onClosed }) {
    this.#recorder = recorder;
    this.#store = store;
    this.#mostBytes = mostBytes;
    this.#elapsedMs = elapsedMs;
    this.#onTrouble = onTrouble;
    this.#onClosed = onClosed;
    this.#told = {
      id: uuid7(Date.now()),
      run_id: run.run_id,
      from_run: run.from_run,
      kind,
      media_type: recorder.mimeType.split(";")[0],
      started_ms: Math.round(elapsedMs()),
      lasts_ms: 0,
      size_bytes: 0,
      closed: false,
    };
    this.#listen();
  }

  start() {
    this.#recorder.start(CHUNK_MS);
    this.#roomTimer = setInterval(() => this.#lookAtRoom(), LOOK_AT_ROOM_EVERY_MS);
    // Held as long as this page records: other pages know by it that the take is not over.
    navigator.locks?.request(lockOf(this.#told.id), () => new Promise((release) => {
      this.#release = release;
    }));
  }

  /** Ends the take; what was recorded is kept. */
  stop() {
    if (this.#recorder.state === "recording") this.#recorder.stop();
  }

  #end(words) {
    this.#onTrouble(words);
    this.stop();
  }

  #listen() {
    this.#beganMs = performance.now();
    this.#recorder.addEventListener("start", () => {
      this.#beganMs = performance.now();
      this.#told.started_ms = Math.round(this.#elapsedMs());
    });
    this.#recorder.addEventListener("dataavailable", ({ data }) => {
      this.#told.lasts_ms = Math.round(performance.now() - this.#beganMs);
      if (data.size > 0) this.#keep(data);
    });
    this.#recorder.addEventListener("stop", () => this.#close());
    this.#recorder.addEventListener("error", () => this.stop());
  }

  #keep(data) {
    const number = this.#chunks;
    this.#chunks += 1;
    this.#told.size_bytes += data.size;
    const asItIs = { ...this.#told };
    this.#writing = this.#writing.then(() => this.#write(asItIs, number, data));
    if (isNearLimit(asItIs.kind, asItIs.size_bytes, this.#mostBytes)) {
      this.#end("The recording reached the size limit and ended there.");
    }
  }

  // A chunk that could not be kept is the end: what follows it would not be playable.
  async #write(asItIs, number, data) {
    if (this.#isCut) return;
    try {
      await this.#store.add(asItIs, number, await data.arrayBuffer());
    } catch {
      this.#isCut = true;
      this.#end("This device could not keep more of the recording; what it has is kept.");
    }
  }

  async #lookAtRoom() {
    if (await hasRoomFor(0)) return;
    this.#end("This device is nearly full: the recording ended, the run goes on.");
  }

  async #close() {
    clearInterval(this.#roomTimer);
    await this.#writing;
    try {
      await this.#store.save({ ...(await this.#asKept()), closed: true });
    } catch {
      this.#onTrouble("This device could not keep the recording.");
    }
    this.#release?.();
    this.#onClosed();
  }

  // After a chunk that was lost, only what is in the store counts.
  async #asKept() {
    if (!this.#isCut) return this.#told;
    const kept = (await this.#store.all()).find(({ id }) => id === this.#told.id);
    return kept ?? this.#told;
  }
}

/** The name under which a page that records a take says so to others. */
export function lockOf(takeId) {
  return `ninefifty-take-${takeId}`;
}
