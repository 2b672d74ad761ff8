// Records a run with the microphone or the camera of this device. It never stands in the way of
// the run: whatever goes wrong here ends the recording and is said, and the marks go on.

import { expectedBytes, hasRoomFor, RATES } from "./limits.js";
import { close, open, recorderOf, refusal } from "./microphone.js";
import { Take } from "./take.js";

/**
 * `state` is "off", "arming", "ready", "recording" or "ended"; `trouble` says in words why there
 * is no recording where one was wanted.
 */
export class Recorder {
  #store;
  #mostBytes;
  #onChange;
  #stream = null;
  #take = null;

  state = "off";
  trouble = "";
  kind = "off";

  constructor(store, mostBytes, onChange) {
    this.#store = store;
    this.#mostBytes = mostBytes;
    this.#onChange = onChange;
  }

  /** What the camera sees, to be shown; null without one. */
  get picture() {
    return this.kind === "video" ? this.#stream : null;
  }

  /** Opens the microphone (and camera) for a run of a slot of `slotS`. */
  async arm(kind, slotS) {
    this.disarm();
    this.kind = kind;
    if (kind === "off") return;
    this.#become("arming");
    if (!(await hasRoomFor(expectedBytes(kind, slotS)))) {
      return this.#fail("This device has too little room for a recording.");
    }
    try {
      const stream = await open(kind);
      if (this.kind !== kind || this.state !== "arming") return close(stream);
      this.#stream = stream;
      this.#become("ready");
    } catch (error) {
      this.#fail(refusal(error, kind));
    }
  }

  /** Lets go of the microphone. */
  disarm() {
    if (this.#stream) close(this.#stream);
    this.#stream = null;
    this.trouble = "";
    this.kind = "off";
    this.#become("off");
  }

  /** Begins to record; `run` is { run_id, from_run }, `elapsedMs` tells the run's clock. */
  start(run, elapsedMs) {
    try {
      this.#take = new Take(recorderOf(this.#stream, this.kind, RATES), {
        kind: this.kind,
        run,
        elapsedMs,
        store: this.#store,
        mostBytes: this.#mostBytes,
        onTrouble: (words) => this.#say(words),
        onClosed: () => this.#become("ended"),
      });
      this.#take.start();
    } catch {
      return this.#fail("This device could not start to record.");
    }
    this.#become("recording");
  }

  /** Ends the recording; what was recorded is kept. */
  stop() {
    this.#take?.stop();
  }

  // What went wrong first is said: the rest follows from it.
  #say(words) {
    this.trouble ||= words;
  }

  #fail(words) {
    this.disarm();
    this.trouble = words;
    this.#onChange();
  }

  #become(state) {
    this.state = state;
    this.#onChange();
  }
}
