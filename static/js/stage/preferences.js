// What this device prefers, kept on it and never sent. One table: name -> what it may be; the first
// is what it is until somebody chooses. Each has a field in templates/stage/_panel.html.

import { readSetting, writeSetting } from "../run/local_store.js";

const CHOICES = {
  calls: ["off", "tone", "voice"],
  "count-in": ["0", "3", "5", "10"],
  "count-in-sound": ["tone", "off", "voice"],
  ground: ["dark", "bright"],
  print: ["usual", "large"],
  digits: ["elapsed", "left"], // the large ones of the clock
  words: ["first", "full", "none"], // how much of the talk is shown
  tape: ["on", "off"],
  cues: ["on", "off"],
  ahead: ["on", "off"],
  letters: ["on", "off"],
  guard: ["1000", "300", "600", "2000"], // ms
  clip: ["off", "on"],
};
const LEVELS = { loudness: 80, "music-loudness": 50 };
const BUTTONS = "buttons";

export class Preferences {
  // Beside storage, which may be switched off: a choice then holds as long as the page.
  #chosen = new Map();
  #listeners = [];

  /** Calls back with each name that is set from now on. */
  onChange(listener) {
    this.#listeners.push(listener);
  }

  /** The choice under `name`, a word; or the level under it, 0 to 100. */
  get(name) {
    const kept = this.#chosen.get(name) ?? readSetting(name);
    if (name in LEVELS) return levelOf(kept, LEVELS[name]);
    return CHOICES[name].includes(kept) ? kept : CHOICES[name][0];
  }

  isOn(name) {
    return this.get(name) === "on";
  }

  set(name, value) {
    this.#chosen.set(name, String(value));
    writeSetting(name, String(value));
    for (const listener of this.#listeners) listener(name);
  }

  /** The buttons that were learnt: [{ button, name, action }]. */
  get buttons() {
    try {
      const kept = JSON.parse(this.#chosen.get(BUTTONS) ?? readSetting(BUTTONS) ?? "[]");
      return kept.filter(({ button, action }) => typeof button === "string" && action);
    } catch {
      return []; // Written by something else: as good as none.
    }
  }

  set buttons(buttons) {
    this.set(BUTTONS, JSON.stringify(buttons));
  }
}

function levelOf(text, otherwise) {
  const level = text === null ? NaN : Number(text);
  return level >= 0 && level <= 100 ? level : otherwise;
}
