// What this device is to record, as chosen before the start.

import { readSetting, writeSetting } from "../run/local_store.js";
import { KINDS } from "./microphone.js";

const SETTING = "recording";

/** What was chosen on this device: off, sound or video. */
export function chosen() {
  const kept = readSetting(SETTING);
  return KINDS.includes(kept) ? kept : "off";
}

/** Shows what is chosen; `onChosen(kind)` hears of another choice. */
export function connectChoice(onChosen) {
  for (const input of document.querySelectorAll("input[name=recording]")) {
    input.checked = input.value === chosen();
    input.addEventListener("change", () => {
      writeSetting(SETTING, input.value);
      onChosen(input.value);
    });
    // Touched, not reached with Tab: the next press of a pedal must start the run.
    input.addEventListener("click", (event) => {
      if (event.detail > 0) input.blur();
    });
  }
}
