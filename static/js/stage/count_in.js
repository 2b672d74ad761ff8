// The count-in: some seconds between the press of Start and the start of the clock. The clock
// starts at its end exactly, however late the browser wakes to see it.

import { earlier } from "../run/clock.js";

const LOOK_EVERY_MS = 50;
// Later than this nobody stood there listening: the device slept, or the page was left.
const TOO_LATE_MS = 1500;

export class CountIn {
  #clocks;
  #sound;
  #onShow;
  #onEnd;
  #timer = null;
  #endMs = 0;
  #shown = null;

  /** `onShow(seconds)` draws what is left, null for nothing; `onEnd(reading)` starts the clock. */
  constructor({ clocks, sound, onShow, onEnd }) {
    this.#clocks = clocks;
    this.#sound = sound;
    this.#onShow = onShow;
    this.#onEnd = onEnd;
  }

  get isOn() {
    return this.#timer !== null;
  }

  /** Counts `seconds` down from the moment of the press; without any the clock starts at once. */
  begin(seconds) {
    if (seconds <= 0) return this.#onEnd(null);
    this.#endMs = this.#clocks.monoMs() + seconds * 1000;
    this.#timer = setInterval(() => this.#look(), LOOK_EVERY_MS);
    this.#look();
  }

  /** The pedal that started it cannot start the run a second time; undo calls it off. */
  act(action) {
    if (["undo", "close", "cancel-count"].includes(action)) this.cancel();
  }

  cancel() {
    if (!this.isOn) return;
    this.#stop();
    this.#sound.hush();
  }

  #look() {
    const leftMs = this.#endMs - this.#clocks.monoMs();
    if (leftMs > 0) {
      this.#show(Math.ceil(leftMs / 1000));
    } else if (leftMs > -TOO_LATE_MS) {
      this.#stop();
      this.#sound.go();
      const now = { wall_ms: this.#clocks.wallMs(), mono_ms: this.#clocks.monoMs() };
      this.#onEnd(earlier(now, now.mono_ms - this.#endMs));
    } else {
      this.cancel();
    }
  }

  #show(seconds) {
    if (seconds === this.#shown) return;
    this.#shown = seconds;
    this.#onShow(seconds);
    this.#sound.tick(seconds);
  }

  #stop() {
    clearInterval(this.#timer);
    this.#timer = null;
    this.#shown = null;
    this.#onShow(null);
  }
}
