// "Press the button you want": waits for one press of a clicker, a pedal or a keyboard.

import { buttonOf } from "./keys.js";

const MODIFIERS = new Set(["Shift", "Control", "Alt", "Meta", "AltGraph"]);

/**
 * Resolves to the next button pressed, { button, name }; to null when it was Escape or Tab, which
 * lead away from any control and stay what they are, or when `signal` was given.
 */
export function pressedButton(signal) {
  return new Promise((resolve) => {
    const end = (learnt) => {
      removeEventListener("keydown", onKey, { capture: true });
      resolve(learnt);
    };
    const onKey = (event) => {
      if (MODIFIERS.has(event.key)) return;
      if (event.key === "Tab") return end(null);
      event.preventDefault();
      event.stopImmediatePropagation();
      swallowRelease();
      const button = buttonOf(event);
      end(event.key === "Escape" || button === null ? null : { button, name: nameOf(event) });
    };
    addEventListener("keydown", onKey, { capture: true });
    signal.addEventListener("abort", () => end(null), { once: true });
  });
}

// Letting go of Space would press the control that has the focus.
function swallowRelease() {
  const onRelease = (event) => event.preventDefault();
  addEventListener("keyup", onRelease, { capture: true, once: true });
}

function nameOf({ key, code }) {
  if (key === " ") return "Space";
  return key === "Unidentified" ? code : key.length === 1 ? key.toUpperCase() : key;
}

/** The learnt buttons with one more: a button has one meaning, the last it was given. */
export function withLearnt(buttons, learnt, action) {
  return [...buttons.filter(({ button }) => button !== learnt.button), { ...learnt, action }];
}
