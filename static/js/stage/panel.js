// "Set up this device": how it sounds, looks and is pressed. It can be opened before the start
// only, so that it never covers a running clock.

import { deviceWords, voiceWords } from "./device_words.js";
import { pressedButton, withLearnt } from "./own_buttons.js";

export class Panel {
  #parts;
  #preferences;
  #sound;
  #music;
  #data;
  #learning = null;

  constructor({ data, parts, preferences, sound, music }) {
    this.#data = data;
    this.#parts = parts;
    this.#preferences = preferences;
    this.#sound = sound;
    this.#music = music;
    for (const input of parts.panel.querySelectorAll("[name]")) this.#connect(input);
    parts.panel.addEventListener("close", () => this.#learning?.abort());
    preferences.onChange(() => this.refresh());
    globalThis.speechSynthesis?.addEventListener?.("voiceschanged", () => this.refresh());
    this.refresh();
  }

  open() {
    if (!this.#parts.panel.open) this.#parts.panel.showModal();
  }

  close() {
    if (this.#parts.panel.open) this.#parts.panel.close();
  }

  /** Learns a button for `action`: the next one that is pressed. */
  async learn(action) {
    this.#learning?.abort();
    const learning = new AbortController();
    this.#learning = learning;
    this.#say("Press the button you want. Escape leaves it as it is.");
    const learnt = await pressedButton(learning.signal);
    if (learning.signal.aborted) return;
    this.#learning = null;
    if (learnt) this.#preferences.buttons = withLearnt(this.#preferences.buttons, learnt, action);
    this.#say(learnt ? `${learnt.name} now means ${action}.` : "Nothing was learnt.");
  }

  forget() {
    this.#preferences.buttons = [];
    this.#say("The learnt buttons are forgotten; the usual ones hold.");
  }

  /** Says again what the device will do, here and before the start. */
  refresh() {
    const { rules, language_name: language } = this.#data;
    const parts = this.#parts;
    const wantsVoice = ["calls", "count-in-sound"].some((n) => this.#preferences.get(n) === "voice");
    parts["voice-words"].textContent = wantsVoice ? voiceWords(this.#sound.voice, language) : "";
    parts["device-words"].replaceChildren(
      ...deviceWords(this.#preferences, this.#music, rules.slot_s * 1000).map((words) => {
        const line = document.createElement("li");
        line.textContent = words;
        return line;
      }),
    );
    for (const action of ["next", "undo"]) {
      const names = this.#preferences.buttons.filter((b) => b.action === action).map((b) => b.name);
      parts[`learnt-${action}`].textContent = names.length > 0 ? `also ${names.join(", ")}` : "";
    }
  }

  #connect(input) {
    const { name, type } = input;
    const kept = this.#preferences.get(name);
    if (type === "radio") input.checked = input.value === kept;
    else if (type === "checkbox") input.checked = kept === "on";
    else input.value = kept;
    input.addEventListener("input", () => this.#preferences.set(name, valueOf(input)));
  }

  #say(words) {
    this.#parts["learn-words"].textContent = words;
  }
}

function valueOf(input) {
  if (input.type === "checkbox") return input.checked ? "on" : "off";
  return input.value;
}
