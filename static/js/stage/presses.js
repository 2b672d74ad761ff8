// What counts as a press: not one that came twice, nor the palm of a hand on the glass.

// What comes sooner is the same press: a finger that slid, a worn switch.
const BOUNCE_MS = 300;
// A fingertip covers 40 to 60 px, a thumb laid flat about 100: what is wider is a palm.
// Common practice, no source.
const PALM_PX = 150;

/** Lets an action through, but not twice in a moment: wet hands and worn clickers press twice. */
export class Guard {
  #gapMs;
  #lastMs = new Map();

  /** `gapMs(action)` is how long after a press another one of the same does not count. */
  constructor(gapMs = () => BOUNCE_MS) {
    this.#gapMs = gapMs;
  }

  /** Why a press is not taken: it is a "bounce" of the one before, or too "soon"; null if it is. */
  refusal(action, nowMs) {
    const sinceMs = nowMs - (this.#lastMs.get(action) ?? -Infinity);
    if (sinceMs < BOUNCE_MS) return "bounce";
    if (sinceMs < this.#gapMs(action)) return "soon";
    this.#lastMs.set(action, nowMs);
    return null;
  }
}

/** Whether a pointer presses, by whichever finger: something may rest on the glass beside it. */
export function isPress({ button }) {
  return button === 0;
}

/** Whether what touches is too wide for a finger or a thumb. */
export function isPalm({ width = 0, height = 0 }) {
  return Math.max(width, height) >= PALM_PX;
}
