// The device's two clocks. The even one (performance.now) restarts with every page load and stands
// still while many devices sleep; the wall clock goes on through sleep but jumps when it is set.

const STEP_MS = 250;
const CLOSE_MS = 2;
const TRIES = 5;
// What a step of the wall clock and the server's clock may differ by and still be the same.
const SAME_MS = 2000;

/** Both clocks of this device, read together. */
export const deviceClocks = {
  monoMs: () => performance.now(),
  wallMs: () => Date.now(),
};

/**
 * Both clocks at one moment: { wall_ms, mono_ms }. A busy machine may halt the page between the two
 * readings, which would look like a clock that was set; the closest pair of a few is taken.
 */
export function readTogether(clocks) {
  let best = null;
  for (let left = TRIES; left > 0 && !(best?.apartMs < CLOSE_MS); left -= 1) {
    const mono_ms = clocks.monoMs();
    const wall_ms = clocks.wallMs();
    const apartMs = clocks.monoMs() - mono_ms;
    if (best === null || apartMs < best.apartMs) best = { wall_ms, mono_ms, apartMs };
  }
  return { wall_ms: best.wall_ms, mono_ms: best.mono_ms };
}

/** Both clocks as they stood `byMs` before a reading of them; not before the page was loaded. */
export function earlier({ wall_ms: wallMs, mono_ms: monoMs }, byMs) {
  return { wall_ms: Math.round(wallMs - byMs), mono_ms: Math.max(0, monoMs - byMs) };
}

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
    const { wall_ms: wallMs, mono_ms: monoMs } = readTogether(this.#clocks);
    return wallMs - monoMs;
  }
}

/**
 * The server's clock as far as this device knows it: a third clock, which neither sleeps with the
 * device nor is set on it. Readings of the even clock, before asking and after the answer, tie it
 * to this page.
 */
export class ServerClock {
  #last = null;
  #slept = null;

  /** How many answers there were. */
  answers = 0;

  /** Takes in { now_ms, started_ms, heard_ms } of an answer. */
  take(answer, askedMonoMs, answeredMonoMs) {
    const offsetMs = answer.now_ms - (askedMonoMs + answeredMonoMs) / 2;
    this.answers += 1;
    this.#slept = this.#last === null ? null : offsetMs - this.#last.offsetMs;
    this.#last = { offsetMs, startedMs: answer.started_ms, heardMs: answer.heard_ms ?? {} };
  }

  /** Ms elapsed in the run; null when the server has not said. */
  elapsedMs(monoMs) {
    const startedMs = this.#last?.startedMs ?? null;
    return startedMs === null ? null : this.#last.offsetMs + monoMs - startedMs;
  }

  /** Ms since the server last heard from a device; null when it has not said. */
  heardAgoMs(deviceId, monoMs) {
    const heardMs = this.#last?.heardMs[deviceId];
    return heardMs === undefined ? null : Math.max(0, this.#last.offsetMs + monoMs - heardMs);
  }

  /** Whether the latest answer shows that the even clock stood still for about `stepMs`. */
  showsSleepOf(stepMs) {
    return this.#slept !== null && Math.abs(this.#slept - stepMs) <= SAME_MS;
  }
}
