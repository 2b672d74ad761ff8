// The timekeeper: lets each time call be heard once, at its mark. A call that was crossed while the
// page slept or was away is not called late.

// A call crossed longer ago than this (the page slept, was loaded again) is not heard late.
const FRESH_MS = 3000;

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

/** The call to be heard between two looks at the clock; null when none was just crossed. */
export function callCrossed(calls, fromMs, toMs) {
  const crossed = calls.filter(({ at_s }) => fromMs < at_s * 1000 && at_s * 1000 <= toMs);
  const last = crossed.reduce((a, b) => (a && a.at_s > b.at_s ? a : b), null);
  return last && toMs - last.at_s * 1000 < FRESH_MS ? last : null;
}
