// How a time call is heard: not at all, as a tone, or spoken. Kept per device.

import { readSetting, writeSetting } from "./local_store.js";

const WAYS = ["off", "tone", "voice"];
const SETTING = "calls";
const TONE_HZ = 880;
const TONE_S = 0.18;
const TONES_AT_S = [0, 0.3];
// A call crossed longer ago than this (the page slept, was loaded again) is not heard late.
const FRESH_MS = 3000;

export class Sound {
  #context = null;
  #language;

  constructor(language) {
    this.#language = language;
  }

  get way() {
    const kept = readSetting(SETTING);
    return WAYS.includes(kept) ? kept : "off";
  }

  set way(way) {
    writeSetting(SETTING, way);
  }

  /** Call it from a press: browsers let a page sound only after one, and iOS stops it again. */
  wake() {
    if (this.way !== "tone" || typeof AudioContext === "undefined") return;
    this.#context ??= new AudioContext();
    if (this.#context.state !== "running") this.#context.resume().catch(() => {});
  }

  /** Lets the call be heard in the way that was chosen. */
  call(words) {
    if (this.way === "tone") this.#tone();
    if (this.way === "voice") this.#speak(words);
  }

  #tone() {
    if (this.#context === null) return;
    for (const atS of TONES_AT_S) {
      const from = this.#context.currentTime + atS;
      const oscillator = new OscillatorNode(this.#context, { frequency: TONE_HZ });
      const gain = new GainNode(this.#context, { gain: 0 });
      gain.gain.setTargetAtTime(0.4, from, 0.01);
      gain.gain.setTargetAtTime(0, from + TONE_S, 0.02);
      oscillator.connect(gain).connect(this.#context.destination);
      oscillator.start(from);
      oscillator.stop(from + TONE_S + 0.2);
    }
  }

  #speak(words) {
    if (typeof speechSynthesis === "undefined") return;
    const utterance = new SpeechSynthesisUtterance(words);
    if (this.#language !== "other") utterance.lang = this.#language;
    speechSynthesis.cancel();
    speechSynthesis.speak(utterance);
  }
}

/** The call to be heard between two looks at the clock; null when none was just crossed. */
export function callCrossed(calls, fromMs, toMs) {
  const crossed = calls.filter(({ at_s }) => fromMs < at_s * 1000 && at_s * 1000 <= toMs);
  const last = crossed.reduce((a, b) => (a && a.at_s > b.at_s ? a : b), null);
  return last && toMs - last.at_s * 1000 < FRESH_MS ? last : null;
}
