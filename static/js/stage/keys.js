// Keys of a keyboard, a clicker or a pedal, and the guard against a press that came twice.

const ACTIONS = new Map([
  [" ", "next"],
  ["Enter", "next"],
  ["ArrowRight", "next"],
  ["PageDown", "next"],
  ["ArrowLeft", "undo"],
  ["PageUp", "undo"],
  ["r", "ready"],
  ["i", "incident"],
  ["c", "cues"],
  ["Escape", "close"],
  ["1", "choice-1"],
  ["2", "choice-2"],
  ["3", "choice-3"],
  ["4", "choice-4"],
]);
// What comes sooner is the same press: a finger that slid, a worn switch.
const BOUNCE_MS = 300;
// A fingertip covers 40 to 60 px, a thumb laid flat about 100: what is wider is a palm.
// Common practice, no source.
const PALM_PX = 150;

/** What a key asks for; null for a key that is not ours. */
export function actionOf(key) {
  return ACTIONS.get(key.length === 1 ? key.toLowerCase() : key) ?? null;
}

/** What tells one button of a device from another; null for one that a page cannot tell apart. */
export function buttonOf({ code, key }) {
  return code || (key === "Unidentified" ? null : key) || null;
}

/**
 * What a press asks for on this device: learnt buttons come first; the keys that write a character
 * (WCAG 2.2, 2.1.4: letters, figures, signs) can be switched off.
 */
export function actionOfPress(press, learnt, withLetters) {
  const own = learnt.find(({ button }) => button === buttonOf(press));
  if (own) return own.action;
  const writes = press.key.length === 1 && press.key !== " ";
  return writes && !withLetters ? null : actionOf(press.key);
}

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

/**
 * Calls `act(action)` for each press of one of our keys that `means` something just now. Any other
 * key does what it always does; a held key repeats and is swallowed.
 */
export function listenToKeys(preferences, means, act) {
  const onKey = (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const action = actionOfPress(event, preferences.buttons, preferences.isOn("letters"));
    if (action === null || belongsToFocus(event.key) || !means(action)) return;
    event.preventDefault();
    if (!event.repeat) act(action);
  };
  addEventListener("keydown", onKey, { capture: true });
}

// A dialog and a text field keep their keys. A control reached with Tab keeps those that work it;
// one that was only touched does not, or the next press of a pedal would press it again.
function belongsToFocus(key) {
  if (document.querySelector("dialog[open]")) return true;
  const focused = document.activeElement;
  if (!focused || focused === document.body) return false;
  if (focused.matches("textarea, select, input:not([type=radio])")) return true;
  if (!focused.matches(":focus-visible") || focused.hasAttribute("data-next")) return false;
  if (focused.matches("input")) return key === " " || key.startsWith("Arrow");
  return focused.matches("button, a") && (key === " " || key === "Enter");
}
