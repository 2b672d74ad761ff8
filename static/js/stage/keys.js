// Keys of a keyboard, a clicker or a pedal.

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
