// The device's two clocks. The even one (performance.now) restarts with every page load and stands
// still while many devices sleep; the wall clock goes on through sleep but jumps when it is set.

const STEP_MS = 250;

/** Both clocks of this device, read together. */
export const deviceClocks = {
  monoMs: () => performance.now(),
  wallMs: () => Date.now(),
};

/**
 * Watches the two clocks for moving apart. `check` returns null, or the step to be written down:
 * { step_ms, cause }. A page that was hidden across a step forward has slept; a clock that goes
 * back, or jumps before the person's eyes, was set.
 */
export class SkewWatch {
  #clocks;
  #skewMs;
  #wasHidden = false;

  constructor(clocks) {
    this.#clocks = clocks;
    this.#skewMs = this.#skew();
  }

  noteHidden() {
    this.#wasHidden = true;
  }

  check(hiddenNow) {
    const skewMs = this.#skew();
    const stepMs = skewMs - this.#skewMs;
    const hidden = this.#wasHidden || hiddenNow;
    this.#wasHidden = hiddenNow;
    if (Math.abs(stepMs) <= STEP_MS) return null;
    this.#skewMs = skewMs;
    return { step_ms: stepMs, cause: stepMs > 0 && hidden ? "sleep" : "set" };
  }

  #skew() {
    return this.#clocks.wallMs() - this.#clocks.monoMs();
  }
}
