// The timekeeper: lets each time call be heard once, at its mark. A call that was crossed while the
// page slept or was away is not called late.

import { callCrossed } from "./sound.js";

export class Timekeeper {
  #calls;
  #lookedMs = 0;
  #onCall;

  constructor(calls, onCall) {
    this.#calls = calls;
    this.#onCall = onCall;
  }

  /** From here on: what lies before `elapsedMs` was called or missed. */
  takeUp(elapsedMs) {
    this.#lookedMs = elapsedMs;
  }

  /** Calls what was crossed since the last look. */
  look(elapsedMs) {
    const call = callCrossed(this.#calls, this.#lookedMs, elapsedMs);
    this.#lookedMs = elapsedMs;
    if (call) this.#onCall(call.words);
  }
}
