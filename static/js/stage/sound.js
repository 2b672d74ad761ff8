// How a time call and a count-in are heard: not at all, as a tone, or spoken. Chosen per device.

import { voiceFor } from "./voices.js";

// What a tone is made of: pitch, and when each beep starts and how long it lasts.
const CALL = { hz: 880, beeps: [[0, 0.18], [0.3, 0.18]] };
const TICK = { hz: 660, beeps: [[0, 0.07]] };
const GO = { hz: 990, beeps: [[0, 0.45]] };

export class Sound {
  #context = null;
  #language;
  #preferences;
  // Held while it speaks: browsers forget what nobody holds, and its fallback with it.
  #utterance = null;
  #maySpeak = false;

  constructor(language, preferences) {
    this.#language = language;
    this.#preferences = preferences;
  }

  /** Call it from a press: browsers let a page sound only after one, and iOS stops it again. */
  wake() {
    if (this.#wants("voice")) this.#askToSpeak();
    if (!this.#wants("tone", "voice") || typeof AudioContext === "undefined") return;
    this.#context ??= new AudioContext();
    if (this.#context.state !== "running") this.#context.resume().catch(() => {});
  }

  /** The voice that would speak; null where the device has none for the language of the routine. */
  get voice() {
    if (typeof speechSynthesis === "undefined") return null;
    return voiceFor(speechSynthesis.getVoices(), this.#language);
  }

  /** Lets a time call be heard in the way that was chosen. */
  call(words) {
    this.#sound(this.#preferences.get("calls"), words, CALL);
  }

  /** Lets a second of the count-in be heard. */
  tick(seconds) {
    this.#sound(this.#preferences.get("count-in-sound"), String(seconds), TICK);
  }

  /** Lets the end of the count-in be heard. A tone also where the count was spoken: it has no lag. */
  go() {
    if (this.#preferences.get("count-in-sound") !== "off") this.#tone(GO);
  }

  /** Stops what is being said. */
  hush() {
    if (this.#utterance !== null) speechSynthesis.cancel();
    this.#utterance = null;
  }

  #wants(...ways) {
    return ["calls", "count-in-sound"].some((name) => ways.includes(this.#preferences.get(name)));
  }

  // iOS lets a page speak later only if it first spoke within a press: nothing, in silence.
  #askToSpeak() {
    if (this.#maySpeak || this.voice === null) return;
    this.#maySpeak = true;
    const nothing = new SpeechSynthesisUtterance("");
    nothing.volume = 0;
    speechSynthesis.speak(nothing);
  }

  get #gain() {
    return this.#preferences.get("loudness") / 100;
  }

  #sound(way, words, tone) {
    if (way === "tone") this.#tone(tone);
    if (way === "voice") this.#speak(words, tone);
  }

  #tone({ hz, beeps }) {
    if (this.#context === null) return;
    for (const [startS, lengthS] of beeps) {
      const from = this.#context.currentTime + startS;
      const oscillator = new OscillatorNode(this.#context, { frequency: hz });
      const gain = new GainNode(this.#context, { gain: 0 });
      gain.gain.setTargetAtTime(0.5 * this.#gain, from, 0.01);
      gain.gain.setTargetAtTime(0, from + lengthS, 0.02);
      oscillator.connect(gain).connect(this.#context.destination);
      oscillator.start(from);
      oscillator.stop(from + lengthS + 0.2);
    }
  }

  // Without a voice of the language, or where speaking fails, the tone says that there is a call.
  #speak(words, tone) {
    const { voice } = this;
    if (voice === null) {
      this.#tone(tone);
      return;
    }
    const utterance = new SpeechSynthesisUtterance(words);
    utterance.voice = voice;
    utterance.lang = voice.lang;
    utterance.volume = this.#gain;
    utterance.onerror = ({ error }) => {
      if (error !== "canceled" && error !== "interrupted") this.#tone(tone);
    };
    this.#utterance = utterance;
    speechSynthesis.cancel();
    speechSynthesis.speak(utterance);
  }
}
